"""What the terminal tells of a port beside its name, the window tells on its page and on its sheet."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random

import pytest

from coaxtell.cli.main import main
from coaxtell.identifier import words
from coaxtell.identifier.answers import Saw
from coaxtell.identifier.features import SEEN, Feature
from coaxtell.models import tables
from coaxtell.models.catalogue import Reason
from coaxtell.window.desk.inquiry import Inquiry
from coaxtell.window.scenes.name_port import NamePort
from tests.window.driving import Hand

BAYONET = ["coupling=lugs", "centre=socket", "plastic=tube", "size=aaa-cell"]
THREAD = ["coupling=thread-outside", "size=m3-screw"]


def _in_both(saw: list[str], terms: list[str], folder: Path) -> tuple[Hand, dict[str, object], str]:
    """The port of these looks named in the terminal, taken up in the window and saved there: that window, what the
    terminal's file holds, and all words of the window's sheet."""
    from pypdf import PdfReader

    file = folder / "port.json"
    told = [word for look in saw for word in ("--saw", look)]
    assert main(["identify", *told, *terms, "--save", str(file)]) == 0
    hand = Hand("name", sheets=folder)
    assert isinstance(hand.app.scene, NamePort)
    hand.app.scene.dropped(str(file))
    hand.app.scene.name_now()
    hand.app.arrange()
    hand.choose("sheet")
    (sheet,) = folder.glob("*.pdf")
    text = "".join("".join(page.extract_text() for page in PdfReader(sheet).pages).split())
    return hand, json.loads(file.read_text(encoding="utf-8")), text


@pytest.mark.parametrize(
    "saw",
    [
        BAYONET,
        ["coupling=smooth", "centre=socket", "size=m5-screw"],
        ["coupling=thread-outside", "centre=socket", "size=euro-cent"],
    ],
    ids=["BNC", "MCX", "N"],
)
def test_what_looks_alike_and_has_no_sizes_is_told_on_page_and_sheet(saw: list[str], tmp_path: Path) -> None:
    hand, kept, sheet = _in_both(saw, ["--no-high-voltage"] if saw is BAYONET else [], tmp_path)
    cautions = kept["cautions"]
    assert isinstance(cautions, list)
    alike = [caution for caution in cautions if "not among the answers" in caution]
    assert alike
    for caution in alike:
        assert hand.says(hand.desk.spoken(caution))
        assert "".join(hand.desk.spoken(caution).split()) in sheet


def test_what_does_not_go_with_the_named_port_is_told_marked_and_printed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hand, _, sheet = _in_both(THREAD, [], tmp_path)
    assert "Does not go with the SMA jack: size=m3-screw." in " ".join(capsys.readouterr().out.split())
    told = "Does not go with the SMA jack: size: "
    assert hand.says(told)
    assert "".join(told.split()) in sheet
    assert hand.says("look again \N{RIGHTWARDS ARROW} size: ")
    hand.choose("copy")
    assert told in hand.desk.copied


@pytest.mark.parametrize("seed", range(25))
def test_no_random_answers_lack_what_the_terminal_tells(seed: int) -> None:
    dice, known = Random(seed), tables.load()
    inquiry = Inquiry(known)
    for feature in dice.sample(sorted(SEEN), dice.randrange(1, 5)):
        inquiry.saw(feature, dice.choice(inquiry.values(feature))[0])
    found, told = inquiry.found, inquiry.cautions
    in_one = {words.unmeasured(found), words.say(Reason("caution.no_force"))}  # said one by one on the page
    assert set(words.beside(found)) - in_one <= set(told)
    assert {words.say(one) for one in known.taken_for(found.half.id)} <= set(told)
    doubted = words.doubted(found)
    assert bool(doubted) <= bool(inquiry.doubted)
    if doubted and not found.contradiction:
        assert all(inquiry.said(feature) in inquiry.doubted for feature in found.misfits)
        assert all(isinstance(found.answers[feature], Saw) for feature in found.misfits)


def test_nothing_goes_into_the_face_of_what_may_be_a_precision_port(tmp_path: Path) -> None:
    """2.4 or 1.85 mm, told by their bores alone: the marking is to be read, on the page and on the sheet, and why."""
    saw = ["coupling=thread-outside", "centre=socket", "plastic=deep"]
    hand, _, sheet = _in_both(saw, ["--setting", "bench", "--measured", "coupling-diameter=6.9"], tmp_path)
    assert hand.says("read the marking; the maker's own gauge tells: bore")
    alone = "Nothing but the maker's own gauge touches or enters the face of a precision port: 2.4"
    assert hand.says(alone)
    assert "".join(alone.split()) in sheet
    inquiry = Inquiry(tables.load(), "bench")
    for look, _, value in (one.partition("=") for one in saw):
        inquiry.saw(Feature(look), value)
    face = {Feature.TOUCH, Feature.BORE, Feature.SOCKET_BORE}
    assert not face & set(inquiry.others)
    for feature in face:
        assert inquiry.why_not(feature).startswith("It may be a precision port: nothing but its maker's own gauge")
    (said,) = inquiry.question(Feature.COUPLING_DIAMETER).first
    assert words.say(said).startswith("Nothing but the maker's own gauge touches or enters the face")
