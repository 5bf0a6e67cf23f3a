"""Read texts, and write files so that a failure leaves nothing half-written."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from coaxtell.models.errors import InputError

ASIDE = ".coaxtell-"
"""How the names of files and folders begin that are not whole yet."""


def typed(text: str) -> Path:
    """The place that a person typed; a home that the system does not know stays as it was typed."""
    return Path(os.path.expanduser(text.strip()))


def write(path: Path, fill: Callable[[Path], None]) -> None:
    """Write `path` through `fill`, which gets a file beside it that is renamed when it is whole.

    Of a link that is the file it points at. Raises InputError where the folder is missing or the file cannot be
    written.
    """
    place = _place(path)
    try:
        handle, name = tempfile.mkstemp(dir=place.parent, prefix=ASIDE, suffix=path.suffix)
    except OSError as error:
        raise InputError(f"{path} cannot be written ({error.strerror or error}); choose another place.") from None
    os.close(handle)
    aside = Path(name)
    try:
        fill(aside)
        mask = os.umask(0)
        os.umask(mask)
        aside.chmod(0o666 & ~mask)
        aside.replace(place)
    except OSError as error:
        raise InputError(f"{path} cannot be written ({error.strerror or error}); choose another place.") from None
    finally:
        aside.unlink(missing_ok=True)


def _place(path: Path) -> Path:
    """The file that is written under that name, which may be a link.

    Raises InputError where something else stands there: a rename would put a file in the place of a device.
    """
    if path.is_dir():
        raise InputError(f"{path} is a folder; give the name of a file to write.")
    place = Path(os.path.realpath(path)) if path.is_symlink() else path
    if place.is_symlink():
        raise InputError(f"{path} is a link that leads to no file; give the name of a file to write.")
    if path.exists() and not path.is_file():
        raise InputError(f"{path} is a device or a pipe; give the name of a file to write.")
    return place


def check(path: Path) -> None:
    """Raise InputError where `path` cannot be written, and change nothing."""
    folder = _place(path).parent
    if not folder.is_dir():
        raise InputError(f"{path} cannot be written (no such folder); choose another place.")
    if not os.access(folder, os.W_OK):
        raise InputError(f"{path} cannot be written (the folder is closed to you); choose another place.")


def make_folder(folder: Path, advice: str) -> None:
    """Make a folder with those above it, where it is missing.

    Raises InputError, which ends in the advice, where it cannot be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(f"{folder} cannot be made ({error.strerror}); {advice}.") from None


@contextmanager
def filled(folder: Path, advice: str, last: str) -> Iterator[Path]:
    """A folder to write into, whose files come into `folder`, new or empty, once all is whole; the file `last` as last.

    Where the writing is broken off nothing is left, and a folder that was not there is not there again. Raises
    InputError, which ends in the advice, where the folder cannot be made.
    """
    there = folder.is_dir()
    make_folder(folder, advice)
    moved: list[Path] = []
    try:
        with tempfile.TemporaryDirectory(dir=folder, prefix=ASIDE, ignore_cleanup_errors=True) as name:
            yield Path(name)
            for path in sorted(Path(name).iterdir(), key=lambda path: path.name == last):
                moved.append(folder / path.name)
                path.rename(folder / path.name)
    except BaseException:
        for path in moved:
            if path.is_dir():
                shutil.rmtree(path, ignore_errors=True)
            else:
                path.unlink(missing_ok=True)
        if not there:
            with suppress(OSError):
                folder.rmdir()
        raise


def write_text(path: Path, text: str) -> None:
    """Write text in UTF-8; raises InputError like `write`."""
    write(path, lambda aside: void(aside.write_text(text, encoding="utf-8")))


def kind(path: Path | None, sentence: str, *kinds: str) -> str:
    """The ending that says how a file is written, in small letters with its dot; empty where no file is wanted.

    Raises InputError with the sentence, which names the kinds there are, where the name ends otherwise.
    """
    if path is None:
        return ""
    found = path.suffix.lower()
    if found not in kinds:
        raise InputError(f"{path}: {sentence}; name the file so.")
    return found


def read_text(path: Path, encoding: str = "utf-8", errors: str = "strict") -> str:
    """The text of a file that a person wrote.

    Raises InputError where it cannot be read or is not in UTF-8.
    """
    try:
        return path.read_text(encoding, errors)
    except OSError as error:
        raise InputError(f"{path}: cannot be read ({error.strerror}); check its name.") from None
    except UnicodeDecodeError:
        raise InputError(f"{path}: is not a UTF-8 text; save it as UTF-8.") from None


def written(path: Path) -> tuple[int, int]:
    """When a file was written [ns], and its size; noughts where it cannot be looked at."""
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_mtime_ns, found.st_size


def void(_: object) -> None:
    """Drop a value where only the effect counts."""
