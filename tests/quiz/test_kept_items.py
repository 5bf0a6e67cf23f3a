"""What may be asked is kept on disk: the same as worked out anew, never after a change, never in the way."""

from __future__ import annotations

from pathlib import Path

import pytest

from coaxtell import kept_items
from coaxtell.kept_items import KeptShares, mark
from coaxtell.models import numbers
from coaxtell.quiz import items
from coaxtell.quiz.stock import Stock
from tests.halves import all_halves, half

FEW = {one: half(one) for one in ("sma-plug", "sma-jack", "rp-sma-plug", "rp-sma-jack", "tnc-plug", "tnc-jack")}
PORTS = {"rp-sma-jack": 2.0}


def shares(folder: Path, name: str = "a") -> list[object]:
    held = Stock(FEW, shares=KeptShares(folder, name))
    found = [items.shares(held), items.shares(held, PORTS), items.shares(held, None, ["mates"])]
    return [[(kind, list(tasks.items())) for kind, tasks in one.items()] for one in found]


def test_what_is_kept_is_what_was_worked_out_in_the_same_order(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = shares(tmp_path)
    assert len(list(tmp_path.iterdir())) == 3
    again = Stock(FEW)
    assert first[0] == [(kind, list(tasks.items())) for kind, tasks in items.shares(again).items()]

    def never(*_: object) -> None:
        raise AssertionError("worked out once more")

    monkeypatch.setattr(Stock, "verdict", never)
    assert shares(tmp_path) == first
    with pytest.raises(AssertionError, match="once more"):
        shares(tmp_path, "of other tables")


def test_broken_files_and_closed_folders_are_no_matter(tmp_path: Path) -> None:
    first = shares(tmp_path / "kept")
    for path in (tmp_path / "kept").iterdir():
        path.write_bytes(b'[["mates", 1]]')
    assert shares(tmp_path / "kept") == first
    (tmp_path / "closed").write_text("no folder", encoding="utf-8")
    assert shares(tmp_path / "closed") == first
    assert shares(tmp_path / "kept", "of other tables") == first


def test_another_number_is_another_mark() -> None:
    one = FEW["sma-jack"]
    changed = numbers.replaced(one, ("shell", "rim"), one.shell.rim.at(one.shell.rim.nominal + 0.01))
    assert mark(FEW) == mark(dict(FEW))
    assert mark(FEW) != mark({**FEW, "sma-jack": changed})
    assert mark(FEW) != mark(all_halves())


def test_the_oldest_go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept_items, "MOST", 2)
    shares(tmp_path)
    shares(tmp_path, "b")
    assert len(list(tmp_path.glob("*.json"))) == 2
