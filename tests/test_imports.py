"""The rooms import one way and in no circles, heavy libraries stay where they belong, engines have no I/O, clock or
chance."""

from __future__ import annotations

from functools import cache

import pytest

from tests.engines import REACHES, engines, reached
from tests.rooms import (
    DOORS,
    MAY_IMPORT,
    TOPS,
    Graph,
    circles,
    edges,
    graph,
    imports,
    packages,
    room,
    sources,
    wrong_ways,
)

MODULES = sources()


@cache
def whole() -> Graph:
    """All imports, worked out by the one worker that runs these tests."""
    return graph(MODULES)


def test_every_folder_has_a_room() -> None:
    assert set(MAY_IMPORT) - packages() <= {"photo"}
    assert packages() <= set(MAY_IMPORT)
    for targets in MAY_IMPORT.values():
        assert targets <= {*MAY_IMPORT, *MODULES}
    assert {top for top in TOPS if top in MAY_IMPORT} == set(TOPS)


def test_rooms_import_one_way() -> None:
    assert wrong_ways(whole()) == set()


def test_no_modules_import_each_other_in_a_circle() -> None:
    assert circles(whole()) == set()


def test_every_permission_is_used() -> None:
    """A room may import what it imports: one more is asked for when it is needed."""
    used = {(room(module), one) for module, targets in whole().items() for t in targets for one in (t, room(t))}
    assert {(name, target) for name, targets in MAY_IMPORT.items() for target in targets} - used == set()


def test_every_door_is_used() -> None:
    assert {(module, target) for module, target in DOORS if target not in whole()[module]} == set()


@pytest.mark.parametrize(
    "line",
    [
        "import_module(name)",
        "import_module('coaxtell.' + name)",
        "import_module('.half', 'coaxtell.models')",
        "import_module('.half', package=__package__)",
        "import_module(f'{package}.half')",
        "import_module(f'coaxtell.{PLACES[name]}')",
        "__import__(name)",
        "exec('import coaxtell')",
        "from importlib import import_module as load",
        "from importlib.util import module_from_spec",
        "import runpy",
        "from .half import Half",
        "import importlib\nimportlib.__import__(name)",
        "import builtins as b\nb.__import__(name)",
        "import pydoc",
        "from coaxtell.models.half import *",
        "load = import_module\nload(name)",
        "import importlib\ngetattr(importlib, name)(other)",
        "import importlib\nways = [importlib]",
        "from importlib import resources as importer, import_module\nmap(import_module, names)",
        "import pkgutil\npkgutil.resolve_name(name)",
        "from pkgutil import resolve_name",
        "import sys\nsys.modules[name]",
        "from sys import modules",
        "__builtins__['__import__'](name)",
    ],
)
def test_an_import_that_cannot_be_seen_is_refused(line: str) -> None:
    with pytest.raises(ValueError, match=r"unseen|computed|relative|star"):
        edges("models.words", line, MODULES)


def test_a_loader_counts_as_importing_all_that_it_may_load() -> None:
    assert {"quiz.items.mates", "quiz.items.name"} <= whole()["quiz.items"]
    assert "coaxtell.cli.mate" in whole()["coaxtell.cli.main"]
    assert {"models.tables", "coaxtell.library"} <= whole()["coaxtell"]


ROOMS = sorted({room(module) for module in MODULES})


@pytest.mark.parametrize("name", ROOMS)
def test_a_wrong_way_put_in_by_hand_is_seen(name: str) -> None:
    """In each room, for every room that it must not know: an import at the top, in a function, for types only."""
    victim = next(module for module in MODULES if room(module) == name and module not in {m for m, _ in DOORS})
    for other in ROOMS:
        if other == name or other in MAY_IMPORT[name]:
            continue
        target = next(module for module in MODULES if room(module) == other and module not in MAY_IMPORT[name])
        full = target if target.startswith("coaxtell") else f"coaxtell.{target}"
        package, _, short = full.rpartition(".")
        loaders = (
            f"import_module(f'{package}.{{any}}')",
            f"PLACES = {{'a': {short!r}}}\nimport_module(f'{package}.{{PLACES[a]}}')",
        )
        for line in (
            f"import {full}",
            f"from {full} import anything",
            f"def late():\n    from {full} import anything",
            f"if TYPE_CHECKING:\n    from {full} import anything",
            f"import_module({full!r})",
            *((*loaders, f"import coaxtell as c\nc.{full.partition('.')[2]}.anything()") if package else ()),
        ):
            found = wrong_ways({victim: edges(victim, f"{MODULES[victim]}\n{line}\n", MODULES)})
            assert (victim, target) in found, line


@pytest.mark.parametrize("name", ROOMS)
def test_a_circle_put_in_by_hand_is_seen(name: str) -> None:
    """In each room: what some module imports imports it back, inside a function or for types only."""
    standing = circles(whole())
    module, target = min(
        ((m, t) for m in MODULES if room(m) == name for t in whole()[m] if not any({m, t} <= c for c in standing)),
        key=lambda edge: (room(edge[1]) != name, edge),
    )
    full = module if module.startswith("coaxtell") else f"coaxtell.{module}"
    for line in (f"def late():\n    import {full}", f"if TYPE_CHECKING:\n    from {full} import anything"):
        found = circles({**whole(), target: edges(target, f"{MODULES[target]}\n{line}\n", MODULES)})
        assert any({module, target} <= circle for circle in found - standing), line


@pytest.mark.parametrize("module", sorted(MODULES))
def test_heavy_libraries_stay_where_they_belong(module: str) -> None:
    for name in imports(MODULES[module], module):
        top = name.split(".")[0]
        if top == "pygame":
            assert module.startswith("coaxtell.window"), f"{module} imports pygame"
        if top in ("vtk", "vtkmodules"):
            assert module == "models.solids.studio", f"{module} imports {top}"


def test_engines_reach_nothing_outside_but_what_is_named() -> None:
    found = {module: reached(text) for module, text in engines().items()}
    assert {module: names for module, names in found.items() if names} == {
        m: names for m, (names, _) in REACHES.items()
    }


@pytest.mark.parametrize(
    "line",
    [
        "import time",
        "from time import monotonic",
        "datetime.now()",
        "datetime.datetime.utcnow()",
        "date.today()",
        "from datetime import datetime as moment",
        "import random",
        "from random import random",
        "from random import SystemRandom",
        "Random()",
        "import secrets",
        "from uuid import uuid4",
        "import os",
        "from os import environ",
        "np.random.rand(3)",
        "from numpy.random import default_rng",
        "from numpy import random",
        "np.load(path)",
        "open(path)",
        "path.open('w')",
        "path.write_text('')",
        "keep = path.unlink",
        "import shutil",
        "from io import open",
        "import sys",
        "print('x')",
        "import subprocess",
        "import sqlite3",
        "from urllib.request import urlopen",
        "import socket",
        "import pygame",
        "__builtins__['open'](path)",
    ],
)
def test_what_an_engine_reaches_is_seen(line: str) -> None:
    """Put into an engine that reaches nothing: clock, chance, files, screen, network."""
    text = engines()["models.mating.rules"]
    assert reached(text) == set()
    assert reached(f"{text}\n{line}\n")
