"""The column of a named port: how sure, what to order, where to go on, what looks alike, what it rests on."""

from __future__ import annotations

from typing import Protocol

from coaxtell.identifier.features import Feature
from coaxtell.identifier.words import gender, number, order, percent
from coaxtell.models.acts import Act
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.inquiry import Inquiry, alike_words, feature_words
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import SMALL, STEP
from coaxtell.window.kit.widgets import Action
from coaxtell.window.scenes import port_place
from coaxtell.window.views.viewpoints import SIDES

COPY = "Copy the order words"


class Ways(Protocol):
    """Where a named port leads on to: what the column's buttons do."""

    desk: Desk
    inquiry: Inquiry
    view: str

    def seeing(self, view: str) -> Action: ...
    def looking_at(self, feature: Feature) -> Action: ...
    def copy(self) -> None: ...
    def bring(self) -> None: ...
    def to_cable(self) -> None: ...
    def save(self) -> None: ...
    def ask_on(self) -> None: ...
    def next_look(self) -> None: ...
    def another(self) -> None: ...
    def page(self) -> None: ...
    def beside(self) -> None: ...


def way_on(ways: Ways) -> tuple[str, str, Action]:
    """What to do next with the port, as a button: its key, words and action; no words where nothing may be done."""
    found = ways.inquiry.found
    if found.settled and found.contradiction is None:
        if ways.inquiry.voltage:
            return "say-voltage", "Say what is on it", lambda: port_place.ask_at_hand(ways)
        return "copy", COPY, ways.copy
    onward = ways.inquiry.onward
    return "next-look", "" if onward is None else onward[0], ways.next_look


def first(ways: Ways, column: Stack) -> float:
    """How high that is which a low column says first [units]: the way on, and what goes against the name."""
    doubted = ways.inquiry.doubted
    said = STEP + column.check_height(doubted) if doubted else 0.0
    return column.led_height(_sure(ways), way_on(ways)[1]) + said


def _sure(ways: Ways) -> str:
    return f"{percent(ways.inquiry.found.probability)} sure"


def _warn(inquiry: Inquiry, column: Stack) -> None:
    """What was said to be on the port."""
    for place, said in enumerate(inquiry.on_it):
        column.check(said, None, key=f"on-it-{place}")


def fill(ways: Ways, column: Stack, fit: Half | None, low: bool) -> None:
    """Everything to say of the port, the way on first; in a `low` column it stands in the first line."""
    inquiry, desk = ways.inquiry, ways.desk
    found = inquiry.found
    key, words, action = way_on(ways)
    if low:
        column.led("probability", _sure(ways), "text", key, words, action)
        if inquiry.doubted:
            column.check(inquiry.doubted, False, key="contradiction")
        _warn(inquiry, column)
    column.verdict(found.name, "text")
    column.check(f"{percent(found.probability)} sure; {found.polarity} polarity; {gender(found)}.",
                 True if found.settled else None, key="how-sure")  # fmt: skip
    if not low:
        _warn(inquiry, column)
    if inquiry.doubted and not low:
        column.check(inquiry.doubted, False, key="contradiction")
    if desk.counts_not:
        column.check(desk.counts_not, False, key="counts-not", size=SMALL)
    if desk.pictures.why:
        column.check(desk.pictures.why, None, key="drawings", size=SMALL)
    clash = found.contradiction is not None
    settled = found.settled and not clash and not inquiry.voltage
    why = desk.spoken(inquiry.settles)
    if settled and why:
        column.check(why, None, key="settles")
    if not settled:
        if why and not clash:
            column.check(why, None, key="settles")
        if words and not low:
            column.button(key, words, action, "action")
        if why and clash:  # why stands over the button already
            column.check(why, None, key="settles")
    column.buttons([(f"view-{v}", v, ways.seeing(v), v == ways.view) for v in SIDES])
    if not (low and settled):
        column.button("copy", COPY, ways.copy, "action" if settled else "plain")
    column.say(order(found), key="order-words")
    if fit is not None:
        may = inquiry.may_do(Act.JOIN)
        column.button("bring", f"Bring together with {fit.name}" if may else f"See {fit.name} beside it", ways.bring)
    column.buttons([
        ("to-cable", "Find its cable", ways.to_cable, False), ("sheet", "Save the sheet", ways.save, False),
    ])  # fmt: skip
    if found.next is not None:
        column.button("ask-on", "Ask me more", ways.ask_on)
    if found.beware:
        column.part("Looks alike")
        for one in found.beware:
            harmful = one.verdict == Verdict.DAMAGES.value
            column.check(desk.spoken(alike_words(one)), False if harmful else None, key=f"beware-{one.id}")
    column.part("Caution")
    for caution in inquiry.cautions:
        if caution not in (*inquiry.on_it, inquiry.settles):  # told above
            column.say(desk.spoken(caution), after=0.75)
    if found.rests_on:
        column.part("What it rests on")
        for rest in found.rests_on:
            column.say(f"{feature_words(rest.feature)}: without it {percent(rest.without)}", SMALL, after=0.5)
    for soft in found.soft_numbers:
        column.say(f"Not sure in the tables: {number(found.half, soft)}", SMALL, "quiet", after=0.5)
    left = inquiry.others
    if left:
        column.part("Look at something else as well")
        column.buttons([(f"look-{f.value}", feature_words(f), ways.looking_at(f), False) for f in left])
    column.button("page", "Its own page in the round", ways.page)
    if found.beware:
        column.button("beside", "Side by side with what looks like it", ways.beside)
    column.button("over-now", "Name another port", ways.another)
