"""What an engine reaches of the world outside it (clock, chance, screen, files, network), from the syntax tree.

An engine imports the libraries of PLAIN, which reach nothing by themselves; each other name, and each way by which a
plain one reaches something after all, is an exception that REACHES names with its reason.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator

from tests.rooms import room, sources

PLAIN = {
    "__future__", "coaxtell", "collections", "contextlib", "copy", "csv", "cv2", "dataclasses", "datetime", "difflib",
    "enum", "fsrs", "functools", "hashlib", "html", "importlib", "io", "itertools", "json", "manifold3d", "math",
    "msgspec", "numpy", "pathlib", "pkgutil", "random", "re", "shlex", "string", "struct", "textwrap", "tomli",
    "trimesh", "types", "typing", "unicodedata", "warnings", "zlib",
}  # fmt: skip
"""Libraries that work on what they are given. What can be had of them beyond that is told apart below."""
FILES = {
    "exists", "glob", "imread", "imshow", "imwrite", "is_dir", "is_file", "iterdir", "mkdir", "open", "read_bytes",
    "read_text", "rename", "rglob", "rmdir", "save", "stat", "touch", "unlink", "write_bytes", "write_text",
}  # fmt: skip
"""Methods by which paths and pictures touch a file."""
OF_NUMPY = {"fromfile", "genfromtxt", "load", "loadtxt", "memmap", "random", "save", "savetxt", "savez"}
NOW = {"now", "today", "utcnow"}
BUILT_IN = {"__builtins__", "breakpoint", "input", "open", "print"}

TABLES = {"read_text"}
OWN_TABLES = {"is_file", *TABLES}
REACHES: dict[str, tuple[set[str], str]] = {
    "cables.tables": ({"is_dir", *OWN_TABLES}, "its tables, and those of a company's own folder"),
    "identifier.looks": (OWN_TABLES, "its tables, and a language's beside them"),
    "models.body_tables": ({"iterdir", "read_text"}, "its tables"),
    "models.catalogue": (OWN_TABLES, "texts, in each language there is"),
    "models.gauging.places": (TABLES, "its tables"),
    "models.lines": ({"contextvars"}, "how wide lines are for this run, told from outside"),
    "models.mating.doubts": (TABLES, "the list of doubts that comes along"),
    "models.mating.kept": (OWN_TABLES, "the draws that come along"),
    "models.physics": (TABLES, "its tables"),
    "models.sources": (OWN_TABLES, "its tables, and those of a company's own folder"),
    "models.statements": (TABLES, "its tables"),
    "models.tables": ({"glob", "is_dir", "iterdir", "read_text"}, "its tables, and those of a company's own folder"),
    "quiz.operating": (TABLES, "what a study found comes along"),
    "quiz.readiness": (TABLES, "what a study found comes along"),
    "models.drawings.drawing": ({"PIL", "save"}, "packs a picture into the bytes it hands out"),
    "models.lettering": ({"PIL", "importlib.util", "is_file"}, "looks for the font that comes with a library"),
    "models.solids.bench": ({"PIL"}, "draws into a picture in memory"),
    "models.solids.picture": ({"PIL"}, "draws into a picture in memory"),
    "models.solids.studio": ({"vtkmodules"}, "renders, off screen"),
    "models.solids.threemf": ({"ctypes", "lib3mf"}, "packs a file in memory by a library in C"),
    "photo.card": ({"numpy.random"}, "a generator of one seed, for trials that come out the same each time"),
    "photo.file": (
        {"PIL", "exists", "imread", "is_dir", "is_file", "numpy.fromfile", "open", "pillow_heif"},
        "opens the photograph that it is given",
    ),
    "photo.reading": ({"is_file", "onnxruntime"}, "loads the weights that it is given"),
    "quiz.exchange": ({"uuid"}, "names made of what is kept, not of chance (version 5)"),
    "quiz.link": ({"is_file", "sqlite3", "stat", "unlink"}, "the record"),
    "quiz.qti": ({"xml", "zipfile"}, "packs a file in memory"),
    "quiz.rescue": ({"is_file", "read_bytes", "shutil", "sqlite3", "tempfile"}, "reads a damaged record from a copy"),
    "quiz.server": ({"sqlalchemy"}, "the record on a company's server"),
    "quiz.store": ({"is_dir", "is_file", "os"}, "the record"),
    "quiz.turns": ({"fcntl", "msvcrt", "open", "os", "sys", "time"}, "waits for its turn at the record"),
}
"""Engines that reach beyond what they are given: by what, and what for."""


def engines() -> dict[str, str]:
    """The text of every engine; the training is none: a program of its own, with clock and seeds."""
    return {
        module: text
        for module, text in sources().items()
        if room(module).split(".")[0] != "coaxtell" and room(module) != "photo.training"
    }


def reached(text: str) -> set[str]:
    """What a module's text reaches: libraries that are not plain, files, the clock, chance without a seed."""
    return set(_reached(ast.parse(text)))


def _reached(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield from _imported(alias.name, "")
        elif isinstance(node, ast.ImportFrom):
            for alias in node.names:
                yield from _imported(node.module or "", alias.name)
                if node.module == "datetime" and alias.asname:
                    yield f"datetime as {alias.asname}"
        elif isinstance(node, ast.Attribute):
            base = ast.unparse(node.value).rpartition(".")[2]
            if node.attr in FILES:
                yield node.attr
            if base in ("np", "numpy") and node.attr in OF_NUMPY:
                yield f"numpy.{node.attr}"
            if base in ("date", "datetime") and node.attr in NOW:
                yield f"{base}.{node.attr}"
        elif isinstance(node, ast.Call) and ast.unparse(node.func) == "Random" and not node.args:
            yield "Random()"
        elif isinstance(node, ast.Name) and node.id in BUILT_IN:
            yield node.id


def _imported(module: str, name: str) -> Iterator[str]:
    """What an import reaches: all of a library that is not plain, and what of a plain one is not."""
    top = module.split(".")[0]
    whole = f"{module}.{name}" if name else module
    if top not in PLAIN:
        yield top
    elif top in ("random", "numpy") and not whole.startswith(("random.Random", "numpy.typing")) and whole != "numpy":
        yield whole
    elif top == "importlib" and whole not in ("importlib.resources", "importlib.import_module"):
        yield module
    elif name in FILES:
        yield name
