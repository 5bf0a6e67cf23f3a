"""Public functions say what they raise, and public modules, classes and functions say what they promise."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ROOMS = ("models", "identifier", "cables", "photo", "quiz", "coaxtell")
BY_DESIGN = {"NotImplementedError", "AssertionError", "AttributeError", "StopAskingError"}
"""What marks a slip of ours or a method to fill, and the loops' own ends: no caller has to catch them."""
PROMISED = {"RefusedError": "InputError"}
"""What callers are promised where a kind of it is raised."""
Function = ast.FunctionDef | ast.AsyncFunctionDef


def own_raises(function: Function) -> set[str]:
    """Names of the errors that leave a function by its own raise: not those passed on, or caught in it."""
    found = {name for name in _raised(function.body) if name[:1].isupper()} - BY_DESIGN
    return {PROMISED.get(name, name) for name in found}


def _raised(body: Sequence[ast.AST]) -> set[str]:
    found: set[str] = set()
    rest: list[ast.AST] = list(body)
    while rest:
        node = rest.pop()
        if isinstance(node, ast.Try):
            caught = {name for one in node.handlers if one.type for name in re.findall(r"\w+", ast.unparse(one.type))}
            found |= _raised(node.body) - caught
            rest += [*node.handlers, *node.orelse, *node.finalbody]
            continue
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef | ast.Lambda):
            continue
        if isinstance(node, ast.Raise) and node.exc is not None:
            found.add(ast.unparse(node.exc.func if isinstance(node.exc, ast.Call) else node.exc))
        rest.extend(ast.iter_child_nodes(node))
    return found


def public(tree: ast.Module) -> Iterator[tuple[str, Function, str]]:
    """Each public function or method: its name, itself, and the docstrings a caller reads."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and not node.name.startswith("_"):
            yield node.name, node, ast.get_docstring(node) or ""
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for method in node.body:
                if not isinstance(method, ast.FunctionDef | ast.AsyncFunctionDef):
                    continue
                made_by_call = method.name in ("__init__", "__post_init__")
                if made_by_call or not method.name.startswith("_"):
                    words = ast.get_docstring(method) or ""
                    if made_by_call:
                        words += ast.get_docstring(node) or ""
                    yield f"{node.name}.{method.name}", method, words


def silent(source: str) -> list[str]:
    """Public functions of a module that raise what their docstring does not name."""
    return [
        f"{name} raises {error}"
        for name, function, words in public(ast.parse(source))
        for error in sorted(own_raises(function))
        if error not in words
    ]


@pytest.mark.parametrize("room", ROOMS)
def test_who_raises_says_so(room: str) -> None:
    files = [p for p in sorted((ROOT / room).rglob("*.py")) if not any(parent.is_symlink() for parent in p.parents)]
    assert len(files) > 5
    found = [f"{p.relative_to(ROOT)}: {one}" for p in files for one in silent(p.read_text(encoding="utf-8"))]
    assert found == []


def test_the_check_finds_what_is_not_said() -> None:
    said = 'def f():\n    """Do.\n\n    Raises ValueError where it cannot."""\n    raise ValueError("no")\n'
    assert silent(said) == []
    assert silent(said.replace("Raises ValueError", "Stops")) == ["f raises ValueError"]
    assert silent(said.replace("raise ValueError", "raise InputError")) == ["f raises InputError"]
    caught = 'def f():\n    """Do."""\n    try:\n        raise ValueError("no")\n    except ValueError:\n        pass\n'
    assert silent(caught) == []
    assert silent(caught.replace("except ValueError", "except OSError")) == ["f raises ValueError"]
    method = "\n".join(f"    {line}" for line in said.replace("Raises ValueError", "Stops").splitlines())
    assert silent(f"class A:\n{method}\n") == ["A.f raises ValueError"]
