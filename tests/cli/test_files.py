"""What is written where a name stands for something else than a plain file: a link, a pipe, a device."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from coaxtell import files
from coaxtell.cli.main import main
from coaxtell.models.errors import InputError

NAMED = ["identify", "--saw", "coupling=lugs", "--save"]


@pytest.mark.needs("linux")
def test_through_a_link_what_it_points_at_is_written(tmp_path: Path) -> None:
    """The link had become a file, and what it pointed at stayed as it was."""
    (tmp_path / "far").mkdir()
    real, link = tmp_path / "far" / "real.json", tmp_path / "link.json"
    real.write_text("old", encoding="utf-8")
    link.symlink_to(Path("far") / "real.json")
    assert main([*NAMED, str(link)]) == 0
    assert link.is_symlink()
    assert '"coupling"' in real.read_text(encoding="utf-8")
    real.unlink()
    assert main([*NAMED, str(link)]) == 0
    assert real.is_file()
    assert sorted(one.name for one in tmp_path.rglob("*")) == ["far", "link.json", "real.json"]


@pytest.mark.needs("linux")
def test_a_link_that_leads_nowhere_is_refused_in_a_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    link, lost = tmp_path / "link.json", tmp_path / "lost.json"
    link.symlink_to(link)
    lost.symlink_to(tmp_path / "no" / "such.json")
    for place, said in ((link, "is a link that leads to no file"), (lost, "no such folder")):
        assert main([*NAMED, str(place)]) == 2
        err = capsys.readouterr().err
        assert said in err
        assert err.count("\n") == 1
        assert place.is_symlink()


@pytest.mark.needs("linux")
def test_a_pipe_or_a_device_is_refused_and_stays(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As root a file had been put in the place of a device."""
    pipe, there = tmp_path / "pipe.json", tmp_path / "null.json"
    os.mkfifo(pipe)
    there.symlink_to(os.devnull)
    for place in (pipe, there):
        assert main([*NAMED, str(place)]) == 2
        assert "is a device or a pipe; give the name of a file to write" in capsys.readouterr().err
        with pytest.raises(InputError, match="is a device or a pipe"):
            files.write_text(place, "lost")
    assert pipe.is_fifo()
    assert there.is_char_device()
    assert sorted(one.name for one in tmp_path.iterdir()) == ["null.json", "pipe.json"]
