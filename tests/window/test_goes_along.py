"""What was said of a port goes along with it: no job proposes on it what may not be done to it."""

from __future__ import annotations

from random import Random

import pytest

from coaxtell.identifier.answers import Term
from coaxtell.identifier.features import SEEN, Feature
from coaxtell.models.acts import Act
from coaxtell.window.desk.inquiry import Inquiry
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.widgets import Button, Checked
from coaxtell.window.scenes.name_port import NamePort
from tests.window.driving import Hand

SMA = {"coupling": "thread-outside", "centre": "socket", "plastic": "level", "size": "pencil"}
BNC = {"coupling": "lugs", "centre": "socket", "plastic": "tube", "size": "aaa-cell"}
PROPOSED = {
    Act.JOIN: ("A signal passes and", "Bring together with"),
    Act.MEASURE: ("Measure parts of it", "Take this part", "Readings of part"),
    Act.HOLD: ("Lay the card", "lay one flat", "20 to 40 cm away", "Hold the real part"),
}
"""Words by which a job proposes an act on a port."""


def named(seen: dict[str, str], *terms: Term, size: tuple[int, int] = (1366, 768), text: int = 100) -> Hand:
    """A window with a port that was named by these looks, of which that was said."""
    hand = Hand("name", size, Settings(motion=False, text=text))
    inquiry = asked(hand)
    for feature, value in seen.items():
        inquiry.saw(Feature(feature), value)
    for term in terms:
        inquiry.hold(term, True)
    assert isinstance(hand.app.scene, NamePort)
    hand.app.scene.name_now()
    hand.app.arrange()
    return hand


def asked(hand: Hand) -> Inquiry:
    assert isinstance(hand.app.scene, NamePort)
    return hand.app.scene.inquiry


def at_random(seed: int) -> Hand:
    """A port of a few random answers, of which something or nothing was said."""
    dice = Random(seed)
    hand = Hand("name")
    inquiry = asked(hand)
    for feature in dice.sample(sorted(SEEN), dice.randrange(1, 5)):
        inquiry.saw(feature, dice.choice(inquiry.values(feature))[0])
    for term in dice.sample(list(Term), dice.randrange(3)):
        inquiry.hold(term, True)
    assert isinstance(hand.app.scene, NamePort)
    hand.app.scene.name_now()
    hand.app.arrange()
    return hand


def proposals(hand: Hand, port: Inquiry) -> list[str]:
    """What the page proposes of that which may not be done to the port: words of controls and sentences."""
    told = [str(getattr(w, "words", "")) for w in hand.app.widgets] + hand.words().split("\n")
    barred = [words for act, every in PROPOSED.items() if not port.may_do(act) for words in every]
    return [words for words in barred if any(words in one for one in told)]


def ticked(hand: Hand) -> bool:
    """Whether the page says of a pair that it mates with the tick of what is well."""
    mark = [w for w in hand.app.widgets if isinstance(w, Checked) and w.key == "verdict-mark"]
    return bool(mark) and mark[0].good is True


def first_words(hand: Hand) -> Checked:
    """The first that the column says."""
    return next(w for w in hand.app.widgets if isinstance(w, Checked))


SIZES = [((1366, 768), 100), ((1024, 600), 100), ((1024, 600), 200)]


@pytest.mark.parametrize(("size", "text"), SIZES)
@pytest.mark.parametrize("way", ["bring", "page", "beside"])
@pytest.mark.parametrize(
    ("seen", "terms", "words"),
    [
        (SMA, [Term.LOOK_ONLY], "It is energised"),
        (SMA, [Term.HIGH_VOLTAGE], "It may carry high voltage, or nobody knows"),
        (BNC, [Term.HIGH_VOLTAGE], "It may carry kilovolts"),
        (BNC, [], "It may be a bayonet for high voltage"),
        ({"coupling": "lugs"}, [Term.NO_HIGH_VOLTAGE], "sure: look again"),
    ],
    ids=["energised", "high voltage?", "kilovolts", "bayonet", "not sure"],
)
def test_what_was_said_of_a_port_is_told_first_and_in_sight(
    seen: dict[str, str], terms: list[Term], words: str, way: str, size: tuple[int, int], text: int
) -> None:
    hand = named(seen, *terms, size=size, text=text)
    port = asked(hand)
    if way == "beside" and not port.found.beware:
        pytest.fail("nothing looks alike")
    hand.choose(way)
    told = first_words(hand)
    assert words in told.words
    assert hand.app.offset == 0
    assert told.box.y + 40 < hand.app.page.bottom
    assert not ticked(hand)
    if way == "bring":
        assert hand.says("Join nothing while what is told of the port stands. By the tables: stated to mate")
        assert not hand.says("no single measurement")
    assert proposals(hand, port) == []
    # the main button, in focus, leads to the naming and to what is on the port
    assert hand.app.focused_key == "look-again"
    hand.enter()
    assert isinstance(hand.app.scene, NamePort)
    assert bool(hand.desk.dialogs) is not port.may_do(Act.JOIN)


def test_what_is_said_otherwise_frees_the_port() -> None:
    hand = named(SMA, Term.LOOK_ONLY)
    hand.choose("page")
    assert "gauge" not in [w.key for w in hand.app.widgets]
    hand.app.go("name")
    asked(hand).hold(Term.LOOK_ONLY, False)
    hand.app.arrange()
    hand.choose("bring")
    assert ticked(hand)
    assert not hand.says("energised")
    hand.app.go("half")
    hand.app.arrange()
    assert hand.widget("gauge").key == "gauge"


def test_a_port_that_was_left_keeps_what_was_said_of_it() -> None:
    hand = named(SMA, Term.LOOK_ONLY, Term.HIGH_VOLTAGE)
    hand.choose("over-now")
    asked(hand).hold(Term.LOOK_ONLY, False)
    hand.desk.carry["together"] = ("sma-plug", "sma-jack")
    hand.app.go("together")
    hand.app.arrange()
    assert hand.says("It is energised")
    assert not ticked(hand)
    # another half of the pair's kind was not said anything of
    hand.desk.carry["half"] = ("n-50-jack",)
    hand.app.go("half")
    hand.app.arrange()
    assert hand.widget("gauge").key == "gauge"
    assert not hand.says("energised")


@pytest.mark.parametrize("again", [False, True], ids=["at once", "after a restart"])
@pytest.mark.parametrize("term", [Term.LOOK_ONLY, Term.HIGH_VOLTAGE])
def test_nothing_is_laid_or_held_beside_what_is_judged_from_afar(term: Term, again: bool) -> None:
    hand = named(SMA, term)
    for job in ("photo", "life-size"):
        hand.app.go(job)
        hand.app.arrange()
        if again:
            hand = Hand(job, settings=hand.settings)
        assert "judge from a distance" in first_words(hand).words
        for words in PROPOSED[Act.HOLD]:
            assert not hand.says(words)
    assert hand.says("nothing is held near it")


def test_a_port_of_which_nothing_was_said_is_photographed_beside_a_card() -> None:
    for hand in (Hand("photo"), named(SMA)):
        hand.app.go("photo")
        hand.app.arrange()
        assert hand.says("Lay the card flat beside the port")
        assert hand.app.focused_key == "choose"


@pytest.mark.parametrize("seed", range(16))
def test_nothing_that_can_be_pressed_leads_to_what_may_not_be_done(seed: int) -> None:
    """Each way on from a port of random answers, each job beside it, and there each control, one press deep."""
    hand = at_random(seed)
    port = asked(hand)
    half = port.found.half.id
    fit = port.found.mates_with[0] if port.found.mates_with else half
    carried = {"together": (half, fit), "half": (half,), "beside": (half, fit), "photo": (), "life-size": ()}
    for job, halves in carried.items():

        def there(job: str = job, halves: tuple[str, ...] = halves) -> None:
            while hand.desk.dialogs:
                hand.desk.close_dialog()
            hand.app.go("name")
            if halves:
                asked(hand)
                assert isinstance(hand.app.scene, NamePort)
                hand.app.scene._carry()
                hand.desk.carry[job] = halves
            hand.app.go(job)
            hand.app.arrange()

        there()
        keys = [w.key for w in hand.app.widgets if isinstance(w, Button) and w.scrolls]
        for key in ["", *keys]:
            there()
            if key in {w.key for w in hand.app.widgets}:
                hand.app.safely(hand.widget(key).press)
                hand.app.arrange()
            assert not hand.app.faults
            if hand.app.scene.name == job:  # not back at its name, where its own tests look
                assert proposals(hand, port) == [], (job, key)
                assert not ticked(hand) or port.may_do(Act.JOIN)
            if hand.desk.dialogs and hand.desk.dialogs[-1].title.startswith("Measure"):
                assert port.may_do(Act.MEASURE)
