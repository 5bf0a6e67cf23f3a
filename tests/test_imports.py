"""The rooms import one way, heavy libraries stay where they belong, engines have no I/O, clock or chance."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ALLOWED = {
    "models": {"models"},
    "identifier": {"models", "identifier"},
    "cables": {"models", "cables"},
    "quiz": {"models", "identifier", "cables", "quiz"},
    "coaxtell": {"models", "identifier", "cables", "quiz", "coaxtell"},
}
FILES = [
    (room, path)
    for room in ALLOWED
    for path in sorted((ROOT / room).rglob("*.py"))
    if not any(parent.is_symlink() for parent in path.parents)
]
CLOCKS = {"time.time", "time.monotonic", "datetime.now", "datetime.datetime.now", "date.today"}
STORES = {
    "models/catalogue.py", "models/tables.py", "models/body_tables.py", "models/sources.py", "identifier/looks.py",
    "cables/tables.py", "quiz/store.py",
}  # fmt: skip


def named(value: object) -> str:
    return value.relative_to(ROOT).as_posix() if isinstance(value, Path) else str(value)


def imports(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@pytest.mark.parametrize(("room", "path"), FILES, ids=named)
def test_imports_run_one_way(room: str, path: Path) -> None:
    for name in imports(path):
        top, _, rest = name.partition(".")
        if top == "coaxtell" and rest.split(".")[0] in ALLOWED:
            assert rest.split(".")[0] in ALLOWED[room], f"{path} imports {name}"
        elif top == "coaxtell":
            assert room == "coaxtell", f"{path} imports {name}"
        if top == "pygame":
            assert "coaxtell/window" in path.as_posix(), f"{path} imports pygame"
        if top in ("pyvista", "vtk", "vtkmodules"):
            assert path.relative_to(ROOT).as_posix() == "models/solids/picture.py", f"{path} imports {top}"


@pytest.mark.parametrize(("room", "path"), [f for f in FILES if f[0] != "coaxtell"], ids=named)
def test_engines_have_no_clock_chance_or_screen(room: str, path: Path) -> None:
    name = path.relative_to(ROOT).as_posix()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        called = ast.unparse(node.func)
        assert called != "print", f"{name} prints"
        assert called not in CLOCKS, f"{name}: {called}"
        assert not called.startswith("random."), f"{name}: {called}"
        assert called not in ("np.random.default_rng", "np.random.seed"), f"{name}: {called}"
        if called in ("open", "input") or called.endswith((".read_text", ".write_text", ".read_bytes", ".write_bytes")):
            assert name in STORES, f"{name}: {called}"
