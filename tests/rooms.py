"""The rooms of the program, what each may import, and circles among modules, all from the syntax tree.

Every import counts: also one inside a function, under TYPE_CHECKING, or by `import_module` with a name written out.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from pathlib import Path

ROOT = Path(__file__).parent.parent
TOPS = ("models", "identifier", "cables", "quiz", "photo", "coaxtell")

BODY = {"models", "models.mating", "models.gauging", "models.solids", "models.drawings"}
ENGINES = {*BODY, "identifier", "cables", "cables.arrival", "quiz", "quiz.items"}
WINDOW = {"coaxtell.window", "coaxtell.window.kit", "coaxtell.window.desk", "coaxtell.window.views"}

MAY_IMPORT: dict[str, set[str]] = {
    "models": set(),
    "models.mating": {"models"},
    "models.gauging": {"models", "models.mating"},
    "models.solids": {"models", "models.mating"},
    "models.drawings": {"models", "models.mating", "models.gauging"},
    "identifier": {"models", "models.mating"},
    "cables": {"models", "models.mating"},
    "cables.arrival": {"models", "cables"},
    "photo": {"models"},
    "photo.training": {"models", "models.drawings", "identifier", "photo"},
    "quiz": {"models", "models.mating", "identifier", "cables", "quiz.items"},
    "quiz.items": {"models", "models.mating", "identifier", "cables", "quiz"},
    "coaxtell": ENGINES,
    "coaxtell.pages": {*ENGINES - {"quiz", "quiz.items"}, "coaxtell"},
    "coaxtell.pocket": {*ENGINES, "coaxtell", "coaxtell.pages"},
    "coaxtell.quiz_pages": {*ENGINES, "coaxtell", "coaxtell.pages"},
    "coaxtell.cli": {*ENGINES, "photo", "coaxtell", "coaxtell.pages", "coaxtell.quiz_pages", "coaxtell.pocket"},
    "coaxtell.window.kit": {"models"},
    "coaxtell.window.desk": {*ENGINES, "coaxtell", "coaxtell.window.kit"},
    "coaxtell.window.views": {*ENGINES, "coaxtell", "coaxtell.window.kit", "coaxtell.window.desk"},
    "coaxtell.window.scenes": {*ENGINES, "photo", "coaxtell", "coaxtell.pages", "coaxtell.quiz_pages", *WINDOW},
    "coaxtell.window": {*ENGINES, "coaxtell", *WINDOW},
}  # fmt: skip
"""What each room may import beside itself. A module belongs to the room with the longest name that begins its own."""

DOORS = {
    ("coaxtell.__main__", "coaxtell.cli.main"),
    ("coaxtell.cli.main", "coaxtell.window.screen"),
    ("coaxtell.cli.window", "coaxtell.window.screen"),
    *(
        ("coaxtell.window.jobs", f"coaxtell.window.scenes.{scene}")
        for scene in ("beside", "bring_together", "cable", "half", "life_size", "name_port", "papers", "practise")
    ),
}
"""The single imports that open a room from outside: the module that opens, and what it opens."""

Sources = Mapping[str, str]
Graph = dict[str, set[str]]


def sources(root: Path = ROOT) -> dict[str, str]:
    """The text of every module of the program by its name, without the leading `coaxtell.` of the engines."""
    found: dict[str, str] = {}
    for top in TOPS:
        for path in sorted((root / top).rglob("*.py")):
            if any(parent.is_symlink() for parent in path.parents):
                continue
            parts = path.relative_to(root).with_suffix("").parts
            found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path.read_text(encoding="utf-8")
    return found


def packages(root: Path = ROOT) -> set[str]:
    """Every folder of the program that holds modules, as a name."""
    return {
        ".".join(path.parent.relative_to(root).parts)
        for top in TOPS
        for path in (root / top).rglob("*.py")
        if not any(parent.is_symlink() for parent in path.parents)
    }


def _short(name: str) -> str:
    """`coaxtell.models.half` as `models.half`: engines lie beside the package and are imported through it."""
    rest = name.removeprefix("coaxtell.")
    return rest if rest.split(".")[0] in TOPS[:-1] else name


def imports(text: str, where: str) -> Iterator[str]:
    """Every name that a module imports, in the order of its text; raises ValueError on a relative import."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            if node.level:
                raise ValueError(f"{where}: relative import")
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith(("import_module", "__import__")):
            yield from (str(a.value) for a in node.args[:1] if isinstance(a, ast.Constant))


def edges(module: str, text: str, modules: Sources) -> set[str]:
    """The modules of the program that a module of this text imports."""
    found: set[str] = set()
    for full in imports(text, module):
        name = _short(full)
        while name not in modules and "." in name:
            name = name.rpartition(".")[0]
        if name in modules and name != module:
            found.add(name)
    return found


def graph(modules: Sources) -> Graph:
    """Each module with the modules of the program that it imports."""
    return {module: edges(module, text, modules) for module, text in modules.items()}


def room(module: str) -> str:
    """The room of a module; raises KeyError where none is named for it."""
    name = module
    while name not in MAY_IMPORT:
        if "." not in name:
            raise KeyError(f"{module} lies in no room: name one in tests/rooms.py")
        name = name.rpartition(".")[0]
    return name


def wrong_ways(found: Graph) -> set[tuple[str, str]]:
    """Every import against the arrows: the module, and what it imports."""
    return {
        (module, target)
        for module, targets in found.items()
        for target in targets
        if room(target) not in {room(module), *MAY_IMPORT[room(module)]} and (module, target) not in DOORS
    }


def circles(found: Graph) -> set[frozenset[str]]:
    """The sets of modules that import each other in a circle: strongly connected components of more than one."""
    reached = {module: _reached(found, module) for module in found}
    together = {
        module: frozenset(m for m in seen if module in reached[m]) | {module} for module, seen in reached.items()
    }
    return {component for component in together.values() if len(component) > 1}


def _reached(found: Graph, start: str) -> set[str]:
    seen: set[str] = set()
    waiting = [start]
    while waiting:
        for target in found[waiting.pop()] - seen:
            seen.add(target)
            waiting.append(target)
    return seen
