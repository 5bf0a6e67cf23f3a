"""A practice and an assessment through real events; every answer acknowledged is in the record."""

import io
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pygame
import pytest

from coaxtell import folders
from coaxtell.cli.main import main
from coaxtell.quiz import words
from coaxtell.quiz.item import Item, Picture
from coaxtell.quiz.log import Answered, Mode, Noted, Remark, Started, answers
from coaxtell.quiz.score import points
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.sitting import Assessing
from coaxtell.quiz.store import Store
from coaxtell.window.kit.pen import Shape
from coaxtell.window.scenes.practise import Practise
from coaxtell.window.views.differences import differences
from coaxtell.window.views.item import used_surface
from tests.quiz.kill import left_on_other_tables
from tests.window.driving import Hand


def scene(hand: Hand) -> Practise:
    found = hand.app.scene
    assert isinstance(found, Practise)
    return found


def sit_down(hand: Hand, name: str = "Ada") -> None:
    hand.tab_to("person")
    for _ in range(60):
        hand.key(pygame.K_BACKSPACE)
    hand.type(name)
    hand.enter()


def recorded(place: Path) -> list[Answered]:
    with Store(str(place)) as store:
        return answers(store.events())


def take(hand: Hand, option: str, sure: str = "8") -> None:
    """Choose an option and how sure by number keys, and give the answer."""
    widget = hand.widget(f"option-{option}")
    hand.key(pygame.K_0 + int(widget.number), widget.number)
    hand.key(pygame.K_0 + int(sure), sure)
    hand.enter()


def test_a_practice_by_keys_only(tmp_path: Path) -> None:
    place = tmp_path / "r.db"
    hand = Hand("practise", records=place)
    sit_down(hand)
    hand.choose("practise")
    item = scene(hand).item
    assert item is not None
    assert hand.says(hand.desk.spoken(words.of(item).question))
    take(hand, item.right)
    assert hand.says("right")
    # quadratic score: 100 (2p - p^2) at 80 % is 96 points
    assert points(True, 0.8) == pytest.approx(96)
    assert hand.says("+96 points")
    for reason in words.of(item).reasons:
        assert hand.says(hand.desk.spoken(reason))
    assert hand.says(words.of(item).look)
    (written,) = recorded(place)
    assert (written.person, written.chosen, written.sure) == ("Ada", item.right, 0.8)
    hand.enter()
    following = scene(hand).item
    assert following is not None
    wrong = next(o.id for o in following.options if o.id != following.right)
    take(hand, wrong, "0")
    assert hand.says("wrong")
    assert hand.says("\N{MINUS SIGN}100 points")
    assert len(recorded(place)) == 2


def answered_right(hand: Hand, most: int = 30) -> Iterator[Item]:
    """So many items of practice, each answered right and its explanation in sight."""
    sit_down(hand)
    hand.choose("practise")
    for _ in range(most):
        item = scene(hand).item
        assert item is not None
        take(hand, item.right)
        yield item
        hand.enter()


def test_the_explanation_shows_the_pair_cut_open(tmp_path: Path) -> None:
    hand = Hand("practise", records=tmp_path / "r.db")
    for item in answered_right(hand):
        if item.explanation.pair is not None:
            cut = [c.name for c in hand.calls() if isinstance(c, Shape)]
            assert set(item.explanation.pair) <= set(cut)
            return
    raise AssertionError("no item with a pair came")


def test_what_tells_two_halves_apart_is_whole_a_press_away(tmp_path: Path) -> None:
    hand = Hand("practise", (1024, 600), records=tmp_path / "r.db")
    for item in answered_right(hand):
        if "rest" in [w.key for w in hand.app.widgets]:
            assert item.picture is not None
            halves = [hand.desk.half(half_id) for half_id in item.picture.halves]
            hand.choose("rest")
            for one in differences(halves, hand.desk.looks):
                assert all(hand.says(f"{half.name}: {told}") for half, told in zip(halves, one.values, strict=True))
            hand.choose("close-all")
            assert scene(hand).item == item
            return
    raise AssertionError("no item came whose differences have no room")


def test_the_explanation_tells_the_cautions_of_the_item(tmp_path: Path) -> None:
    hand = Hand("practise", records=tmp_path / "r.db")
    for item in answered_right(hand):
        cautions = words.of(item).cautions
        assert hand.says("Caution") == bool(cautions)
        assert all(hand.says(hand.desk.spoken(caution)) for caution in cautions)
        if cautions:
            return
    raise AssertionError("no item with a caution came")


def test_the_answer_by_mouse_with_the_bar(tmp_path: Path) -> None:
    hand = Hand("practise", records=tmp_path / "r.db")
    sit_down(hand)
    hand.click("practise")
    item = scene(hand).item
    assert item is not None
    hand.click(f"option-{item.options[0].id}")
    hand.click("sure", right=0.99, down=0.85)
    assert scene(hand).sure == 1.0
    hand.click("answer")
    assert scene(hand).given is not None


def test_closing_in_the_middle_of_an_item_loses_nothing(tmp_path: Path) -> None:
    place = tmp_path / "r.db"
    hand = Hand("practise", records=place)
    sit_down(hand)
    hand.choose("practise")
    first = scene(hand).item
    assert first is not None
    take(hand, first.right)
    hand.enter()
    open_item = scene(hand).item
    assert open_item is not None
    widget = hand.widget(f"option-{open_item.options[1].id}")
    hand.key(pygame.K_0 + int(widget.number), widget.number)
    hand.key(pygame.K_7, "7")
    again = Hand("practise", settings=hand.settings, records=place)
    assert len(recorded(place)) == 1
    again.choose("practise")
    assert scene(again).item == open_item
    assert scene(again).chosen == open_item.options[1].id
    assert scene(again).sure == pytest.approx(0.7)


def test_one_rule_for_record_and_unanswered_item_in_window_and_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    place, elsewhere = tmp_path / "r.db", tmp_path / "elsewhere.db"
    monkeypatch.setenv("COAXTELL_RECORDS", str(elsewhere))
    hand = Hand("practise", records=place)
    sit_down(hand)
    hand.choose("practise")
    left = scene(hand).item
    assert left is not None
    command = ["practise", "--records", str(place), "--person", hand.settings.person, "--pictures", "none"]
    monkeypatch.setattr("sys.stdin", io.StringIO("a 100\n\n"))
    assert main(command) == 0
    assert words.of(left).question.split("?")[0] in " ".join(capsys.readouterr().out.split())
    (given,) = recorded(place)
    assert (given.kind, given.a, given.b) == (left.task.kind, left.task.a, left.task.b)
    assert not elsewhere.exists(), "a place that is named goes before the environment's"
    again = Hand("practise", settings=hand.settings, records=place)
    again.choose("practise")
    asked = scene(again).item
    assert asked is not None
    assert asked != left, "it was answered at the terminal"
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert main(command) == 0
    assert words.of(asked).question.split("?")[0] in " ".join(capsys.readouterr().out.split())
    assert folders.record(None) == str(elsewhere), "nothing named: the environment's place"


def test_an_assessment_of_one_who_knows_ends_ready(tmp_path: Path) -> None:
    place = tmp_path / "r.db"
    hand = Hand("practise", records=place)
    sit_down(hand, "Grace \u9e93")
    hand.choose("assess")
    for said in ("Assessment, try 1", "does not replace", "on average"):
        assert hand.says(said)
    with Store(str(place)) as store:
        assert store.events() == []  # stated before it starts
    hand.choose("begin")
    given = 0
    while scene(hand).phase == "item":
        item = scene(hand).item
        assert item is not None
        take(hand, item.right, "0")
        given += 1
        # an honest progress: no promised end, and nothing told of the answer
        assert not hand.says("of 90")
        assert given < 200
    sitting = scene(hand).sitting
    assert isinstance(sitting, Assessing)
    assert sitting.result().verdict is Decision.READY
    assert hand.says("ready")
    assert hand.says("does not replace")
    assert len(recorded(place)) == given


def test_an_assessment_pauses_and_goes_on(tmp_path: Path) -> None:
    place = tmp_path / "r.db"
    hand = Hand("practise", records=place)
    sit_down(hand)
    hand.choose("assess")
    hand.choose("begin")
    asked = []
    for _ in range(3):
        item = scene(hand).item
        assert item is not None
        asked.append(item.task)
        take(hand, item.right)
    following = scene(hand).item
    hand.key(pygame.K_ESCAPE)
    assert scene(hand).phase == "start"
    again = Hand("practise", settings=hand.settings, records=place)
    again.choose("assess")
    assert again.says("It goes on where it was paused")
    again.choose("begin")
    assert scene(again).item == following
    with Store(str(place)) as store:
        starts = [e for e in store.events() if isinstance(e, Started) and e.mode is Mode.ASSESSMENT]
    assert len(starts) == 1


def test_an_assessment_in_words_is_noted_and_a_record_put_back_is_said_first(tmp_path: Path) -> None:
    place, kept = tmp_path / "r.db", tmp_path / "kept.db"
    hand = Hand("practise", records=place)
    hand.desk.pictures.why = "Nothing is drawn here."
    sit_down(hand)
    hand.choose("assess")
    hand.choose("begin")
    with Store(str(place)) as store:
        before = store.events()
    (noted,) = [event for event in before if isinstance(event, Noted)]
    assert (noted.what, noted.number) == (Remark.WITHOUT_PICTURES, 1)
    with Store(str(kept)) as store:
        store.fill(before)
    item = scene(hand).item
    assert item is not None
    take(hand, item.right)
    hand.key(pygame.K_ESCAPE)
    assert hand.says("Without pictures from item 1 on")
    again = Hand("practise", settings=hand.settings, records=kept)
    again.choose("assess")
    assert again.says("put back to an earlier state")
    again.choose("begin")
    assert scene(again).sitting is not None
    assert len(recorded(kept)) == 1, "what this machine has seen is written again"


def lost(place: Path) -> Hand:
    """Someone who was wrong in every item of an assessment, before its result."""
    hand = Hand("practise", records=place)
    sit_down(hand)
    hand.choose("assess")
    hand.choose("begin")
    while scene(hand).phase == "item":
        item = scene(hand).item
        assert item is not None
        assert not hand.says("You said"), "nothing is told before the end"
        take(hand, next(o.id for o in item.options if o.id != item.right), "9")
    return hand


def test_every_try_is_recorded(tmp_path: Path) -> None:
    hand = lost(tmp_path / "r.db")
    assert hand.says("not yet")
    hand.choose("back")
    assert hand.says("Assessment 1")
    # another try takes a practice and another day
    hand.choose("assess")
    assert "another day" in hand.desk.notice
    assert scene(hand).phase == "start"


def test_the_progress_page_of_the_lead_opens(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    hand = Hand("practise", records=tmp_path / "r.db", sheets=tmp_path)
    sit_down(hand)
    hand.choose("progress")
    assert hand.says("no answers yet")
    hand.choose("practise")
    item = scene(hand).item
    assert item is not None
    take(hand, item.right)
    hand.choose("pause")
    hand.choose("progress")
    (page,) = opened
    assert "Ada" in Path(page.removeprefix("file://")).read_text(encoding="utf-8")


def test_a_record_that_cannot_be_used_is_told_in_one_sentence(tmp_path: Path) -> None:
    place = tmp_path / "folder.db"
    place.mkdir()
    hand = Hand("practise", records=place)
    sit_down(hand)
    assert scene(hand).sitter.trouble.endswith(".")
    assert hand.says(scene(hand).sitter.trouble)


def test_without_a_name_nothing_is_asked(tmp_path: Path) -> None:
    hand = Hand("practise", records=tmp_path / "r.db")
    sit_down(hand, "")
    hand.choose("practise")
    assert hand.says("Type your name first")
    assert scene(hand).phase == "start"


def test_a_port_list_dropped_on_the_window_is_what_the_assessment_draws_from(tmp_path: Path) -> None:
    ports = tmp_path / "ports.toml"
    ports.write_text(
        'site = "North gate"\n' + "".join(
            f'[[port]]\nid = "{half_id}"\ncount = 2\n'
            for half_id in ("sma-jack", "rp-sma-jack", "tnc-jack", "rp-tnc-jack", "n-50-jack", "sma-plug", "tnc-plug",
                            "rp-tnc-plug", "n-50-plug", "n-75-jack")
        ), encoding="utf-8",
    )  # fmt: skip
    hand = Hand("practise", records=tmp_path / "r.db")
    sit_down(hand)
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(ports)))
    assert hand.says("They draw from the ports of North gate.")
    hand.choose("assess")
    assert hand.says("SMA jack (2)")
    hand.choose("begin")
    item = scene(hand).item
    assert item is not None
    # not in the middle of it
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(ports)))
    assert "pause it" in hand.desk.notice
    start = scene(hand).sitting
    assert isinstance(start, Assessing)
    assert start.start is not None
    assert start.start.site == "North gate"
    assert set(start.start.ports) >= {"n-75-jack", "sma-jack"}
    # the next window still draws from it, and all ports are one press away
    again = Hand("practise", settings=hand.settings, records=tmp_path / "r.db")
    assert again.says("They draw from the ports of North gate.")
    again.choose("all-ports")
    assert not again.says("North gate")
    for name, said in (("a.json", "no port list"), ("none.toml", "cannot be read")):
        again.post(pygame.event.Event(pygame.DROPFILE, file=str(tmp_path / name)))
        assert said in again.desk.notice


def test_an_assessment_of_other_tables_is_refused_and_nothing_is_lost(tmp_path: Path) -> None:
    place = tmp_path / "r.db"
    with Store(str(place)) as store:
        store.add(left_on_other_tables("Ada"))
    hand = Hand("practise", records=place)
    sit_down(hand)
    hand.choose("assess")
    assert hand.says("have changed since this assessment was begun")
    assert scene(hand).phase == "start"
    hand.choose("anew")
    assert hand.says("Assessment, try 2")
    hand.choose("begin")
    assert scene(hand).item is not None
    with Store(str(place)) as store:
        starts = [event for event in store.events() if isinstance(event, Started)]
    assert [start.blueprint == "of other tables" for start in starts] == [True, False]


def test_wear_dirt_and_blur_of_an_item_are_in_the_windows_picture_too() -> None:
    surface = pygame.Surface((120, 120), pygame.SRCALPHA)
    surface.fill((200, 190, 180, 255), (20, 20, 80, 80))
    clean = Picture(("sma-jack",))
    assert used_surface(surface, clean) is surface
    seen = [pygame.image.tobytes(surface, "RGBA")]
    for changed in ({"wear": 0.6}, {"dirt": 0.6, "grain": 3}, {"blur": 2.0}):
        look = msgspec.structs.replace(clean, **changed)
        seen.append(pygame.image.tobytes(used_surface(surface, look), "RGBA"))
        assert used_surface(surface, look) is used_surface(surface, look)
    assert len(set(seen)) == 4


def test_a_lost_assessment_is_gone_over_at_its_end_as_in_the_terminal(tmp_path: Path) -> None:
    """Each item that was wrong, with what was said, what is so, the reasons, the look that tells and the cautions."""
    hand = lost(tmp_path / "r.db")
    sitting = scene(hand).sitting
    assert isinstance(sitting, Assessing)
    assert sitting.result().verdict is Decision.NOT_YET
    assert len(sitting.wrong) > 1
    for item, chosen in sitting.wrong:
        told = words.of(item)
        assert hand.says(f"You said: {told.options[chosen]}")
        for line in (told.options[item.right], *told.reasons, told.look, *told.cautions):
            assert hand.says(hand.desk.spoken(line))
