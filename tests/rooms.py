"""The rooms of the program, what each may import, and circles among modules, all from the syntax tree.

Every import counts: also one inside a function, under TYPE_CHECKING, or by `import_module`. That may name a module, a
package of which it takes any (`f"coaxtell.cli.{name}"`), or an entry of a dictionary of names in the same module. What
else can import and is known to us (UNSEEN, WAYS, a star, a loader handed on) is refused; who means to hide an import,
by names put together and fetched with `getattr`, still can.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from pathlib import Path

ROOT = Path(__file__).parent.parent
TOPS = ("models", "identifier", "cables", "quiz", "photo", "coaxtell")

SEEN_HALVES = {"models", "models.mating", "models.solids", "models.drawings"}
BODY = {*SEEN_HALVES, "models.gauging"}
ENGINES = {*BODY, "identifier", "cables", "cables.arrival", "quiz", "quiz.items"}
WINDOW = {"coaxtell.window", "coaxtell.window.kit", "coaxtell.window.desk", "coaxtell.window.views"}

MAY_IMPORT: dict[str, set[str]] = {
    "models": set(),
    "models.mating": {"models", "models.gauging.places"},
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
    "coaxtell": {*ENGINES - {"quiz.items"}, "photo"},
    "coaxtell.pages": {*SEEN_HALVES - {"models.solids"}, "identifier", "cables", "cables.arrival", "coaxtell"},
    "coaxtell.pocket": {
        *SEEN_HALVES, "identifier", "cables", "quiz", "quiz.items", "photo", "coaxtell", "coaxtell.pages",
    },
    "coaxtell.quiz_pages": {*SEEN_HALVES - {"models.mating"}, "quiz", "coaxtell", "coaxtell.pages"},
    "coaxtell.demo": {
        "models", "models.gauging", "cables", "cables.arrival", "quiz", "coaxtell", "coaxtell.pages",
    },
    "coaxtell.cli": {
        *ENGINES, "photo", "coaxtell", "coaxtell.pages", "coaxtell.quiz_pages", "coaxtell.pocket", "coaxtell.demo",
    },
    "coaxtell.window.kit": {"models.errors", "models.lettering"},
    "coaxtell.window.desk": {*SEEN_HALVES, "identifier", "coaxtell", "coaxtell.window.kit"},
    "coaxtell.window.views": {
        *SEEN_HALVES, "identifier", "cables", "quiz", "coaxtell", "coaxtell.window.kit", "coaxtell.window.desk",
    },
    "coaxtell.window.scenes": {
        *BODY - {"models.solids"}, "identifier", "cables", "quiz", "photo", "coaxtell", "coaxtell.pages",
        "coaxtell.quiz_pages", *WINDOW,
    },
    "coaxtell.window": {"models", "quiz", "coaxtell", "coaxtell.window.kit", "coaxtell.window.desk"},
}  # fmt: skip
"""What each room may import beside itself: rooms, or single modules. A module belongs to the room with the longest name
that begins its own."""

SCENES = (
    "beside", "bring_together", "cable", "half", "life_size", "name_port", "papers", "photograph", "practise",
)  # fmt: skip
DOORS = {
    ("coaxtell.start", "coaxtell.cli.main"),
    ("coaxtell.cli.screens", "coaxtell.window.screen"),
    ("coaxtell.cli.window", "coaxtell.window.screen"),
    *(("coaxtell.window.jobs", f"coaxtell.window.scenes.{scene}") for scene in SCENES),
    # readings are held against what is stated to mate, which only the judge of two profiles can tell
    ("models.against", "models.mating.outcome"),
    ("models.gauged", "models.mating.outcome"),
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
    """Every name that a module imports, in the order of its text; `package.*` where it may be any of a package.

    Raises ValueError on a relative import, and on one whose name cannot be read from the text.
    """
    tree = ast.parse(text)
    known = packages_of(tree)
    used = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    used |= {id(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                if alias.name.split(".")[0] in UNSEEN and alias.name not in WHOLE:
                    raise ValueError(f"{where}: imports by {alias.name}, unseen")
                yield alias.name
        elif isinstance(node, ast.ImportFrom):
            if node.level:
                raise ValueError(f"{where}: relative import")
            for alias in node.names:
                name = f"{node.module}.{alias.name}"
                if alias.name == "*":
                    raise ValueError(f"{where}: a star import of {node.module}")
                if name == "sys.modules" or (name.split(".")[0] in UNSEEN and (name not in SEEN or alias.asname)):
                    raise ValueError(f"{where}: imports by {name}, unseen")
                yield name
        elif isinstance(node, ast.Attribute):
            yield from _walked(node, known, where)
        elif isinstance(node, ast.Name) and id(node) not in used:
            # a way to import that is handed on or called by another name
            if node.id in ("__builtins__", "import_module") or known.get(node.id) in LOADERS[:-1]:
                raise ValueError(f"{where}: {node.id} is handed on and may import, unseen")
        elif isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            if called in ("exec", "eval", "__import__"):
                raise ValueError(f"{where}: {called} may import, unseen")
            if called.endswith("import_module"):
                yield from _loaded(node, tree, where)


def packages_of(tree: ast.Module) -> dict[str, str]:
    """The names in a module that stand for our own packages or for `importlib`, with what they stand for."""
    found: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                top = alias.name.split(".")[0]
                if top in ("coaxtell", *LOADERS):
                    found[alias.asname or top] = alias.name if alias.asname else top
        elif isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "coaxtell":
            found |= {alias.asname or alias.name: f"{node.module}.{alias.name}" for alias in node.names}
    return found


def _walked(node: ast.Attribute, known: Mapping[str, str], where: str) -> Iterator[str]:
    """What a chain such as `models.solids.solid` reaches below a package; raises ValueError on an unseen import."""
    names: list[str] = []
    below: ast.expr = node
    while isinstance(below, ast.Attribute):
        names.append(below.attr)
        below = below.value
    if not isinstance(below, ast.Name) or below.id not in known:
        return
    start = known[below.id]
    whole = ".".join([start, *reversed(names)])
    if start in LOADERS:
        inside = whole.partition(".")[2]
        if whole not in (*SEEN, "importlib.resources", "importlib.util") and any(way in inside for way in WAYS):
            raise ValueError(f"{where}: imports by {whole}, unseen")
    else:
        yield whole


UNSEEN = ("importlib", "runpy", "imp", "pydoc", "pkgutil")
"""Packages that can import by other ways; what of them is used is named."""
WHOLE = ("importlib", "importlib.resources", "pkgutil")
"""Those of them that may be imported whole, since what is taken of them is looked at."""
LOADERS = ("importlib", "builtins", "pkgutil", "sys")
"""Names that stand for a package with ways to import; all but the last are used by a dot alone."""
WAYS = ("import", "modules", "resolve_name", "get_loader", "find_loader")
SEEN = {
    "importlib.import_module", "importlib.resources", "importlib.metadata", "importlib.resources.files",
    "importlib.metadata.version", "importlib.util.find_spec", "importlib.metadata.PackageNotFoundError",
    "pkgutil.iter_modules",
}  # fmt: skip
"""What of them brings in no module unseen."""


def _loaded(call: ast.Call, tree: ast.Module, where: str) -> Iterator[str]:
    """What a call of `import_module` may import."""
    named = call.args[0] if len(call.args) == 1 and not call.keywords else None
    if isinstance(named, ast.Constant):
        if str(named.value).startswith("."):
            raise ValueError(f"{where}: relative import")
        yield str(named.value)
        return
    unreadable = ValueError(f"{where}: a computed import, {ast.unparse(call)}")
    if not isinstance(named, ast.JoinedStr):
        raise unreadable
    *before, last = named.values
    package = "".join(_plain(part, where) for part in before)
    if not isinstance(last, ast.FormattedValue) or "?" in package or not package.endswith("."):
        raise unreadable
    if not isinstance(last.value, ast.Subscript):
        yield f"{package}*"
        return
    table = ast.unparse(last.value.value)
    assigned = (node for node in ast.walk(tree) if isinstance(node, ast.Assign))
    places = [node.value for node in assigned if ast.unparse(node.targets[0]) == table]
    if len(places) != 1 or not isinstance(places[0], ast.Dict):
        raise unreadable
    for place in places[0].values:
        if not isinstance(place, ast.Constant):
            raise unreadable
        yield package + str(place.value)


def _plain(part: ast.expr, where: str) -> str:
    """A part of a name as it is written, the module's own name for `__name__`, and a mark where neither."""
    if isinstance(part, ast.Constant):
        return str(part.value)
    own = isinstance(part, ast.FormattedValue) and ast.unparse(part.value) == "__name__"
    return where if own else "?"


def edges(module: str, text: str, modules: Sources) -> set[str]:
    """The modules of the program that a module of this text imports."""
    found: set[str] = set()
    for full in imports(text, module):
        name = _short(full)
        if name.endswith(".*"):
            package = name.removesuffix(".*")
            beside = set(TOPS[:-1]) if package == "coaxtell" else set()
            found |= {one for one in modules if one.rpartition(".")[0] == package or one in beside} - {module}
            continue
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
        if not {room(target), target} & {room(module), *MAY_IMPORT[room(module)]} and (module, target) not in DOORS
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
