"""The column of a question: what is asked, a card for each answer or a field for a size, and why it is asked."""

from __future__ import annotations

from typing import Protocol

from coaxtell.identifier import words
from coaxtell.identifier.features import LIKENED, SEEN, Feature
from coaxtell.models.acts import Act, before
from coaxtell.models.words import said
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.inquiry import Inquiry
from coaxtell.window.kit.cards import Art
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.keypad import open_keypad
from coaxtell.window.kit.scene import Room
from coaxtell.window.kit.stack import Choice, Stack
from coaxtell.window.kit.theme import SMALL
from coaxtell.window.kit.widgets import Action, Stage
from coaxtell.window.views import measuring
from coaxtell.window.views.coming_off import way_off_art
from coaxtell.window.views.feature_art import Draw, card_art, example, thing_art
from coaxtell.window.views.scales import THIN

FEW, SOME = 4, 8
"""Up to so many answers have their pictures over the words, two abreast; up to so many beside them, in one column."""
LARGE_ART = (100.0, 0.0)
SIDE_ART = (56.0, 104.0)
SMALL_ART = (48.0, 48.0)
"""Height and width [units] of the pictures on cards over the words, beside them, and where there are many."""
MEASURING = 150.0
"""Height of the drawing that shows where to measure [units]."""
NARROW_COLUMN = 420.0
"""A column narrower than this [units] has no room for two cards abreast."""
LOW_CARD = 240.0
"""Height of a card with its picture over its words [units]."""


class Ways(Protocol):
    """What the column's cards and buttons do."""

    desk: Desk
    inquiry: Inquiry
    typed: Edit
    asked: Feature | None

    @property
    def again(self) -> bool: ...
    def saw(self, feature: Feature, value: str) -> Action: ...
    def measured(self) -> None: ...
    def none_there(self) -> None: ...
    def not_sure(self) -> None: ...
    def take_back(self) -> None: ...
    def name_now(self) -> None: ...


def fill(ways: Ways, room: Room, feature: Feature) -> None:
    """The question of a feature with its answers."""
    column = room.column
    if ways.inquiry.clash:
        column.check(ways.inquiry.clash, False, key="contradiction")
    asked = ways.inquiry.question(feature, ways.again)
    column.title(f"Once more: {asked.ask}" if asked.again else asked.ask)
    for reason in asked.first:
        column.say(words.say(reason), SMALL)
    if not room.tight:
        column.say(asked.how, role="quiet")
    for sentence in said(before(_acts(ways, feature)))[:1]:
        column.say(sentence, SMALL)
    on = "" if feature is Feature.OFF else ways.inquiry.mate_on
    if not room.tight:
        column.say(on, key="mate-on")
    if feature in SEEN:
        _cards(ways, column, feature)
    else:
        _measure(ways, column, feature)
    if room.tight:
        column.say(on, key="mate-on")
        column.say(asked.how, role="quiet")
    bayonet = ways.inquiry.may_be_high_voltage
    stays = not bayonet and ways.inquiry.mate_stays
    if bayonet:
        column.say("A bayonet of two studs may be one for high voltage; nothing is touched before.", SMALL, "quiet")
    if bayonet or stays:
        column.button("no-high-voltage", "It is radio or video, no high voltage", ways.inquiry.no_high_voltage)
    column.button("name-now", "Name it with what is known", ways.name_now)
    column.part("Why this")
    column.say(ways.desk.spoken(words.say(asked.why)), SMALL, "quiet")
    if not ways.inquiry.state.answers:
        column.say("A saved identification may be dropped on the window to go on from it.", SMALL, "quiet")


def _acts(ways: Ways, feature: Feature) -> list[Act]:
    """What the question leads to: the act it needs, and before the first answer and wherever something is held beside
    the port, what comes close to one."""
    own = ways.inquiry.looks.row(feature).act
    return [Act.TOUCH, Act.MEASURE] if feature in LIKENED or not ways.inquiry.state.answers else [own]


def _cards(ways: Ways, column: Stack, feature: Feature) -> None:
    chosen = getattr(ways.inquiry.state.answers.get(feature), "value", None)
    values = ways.inquiry.values(feature)
    some = FEW < len(values) <= SOME
    # a card with its picture over the words would end below what is in sight
    low = column.y + LOW_CARD > column.sight
    single = some or low or column.width < NARROW_COLUMN
    size = SMALL_ART if len(values) > SOME else SIDE_ART if single else LARGE_ART
    things = ways.inquiry.looks.scale(feature) if feature in LIKENED else {}
    largest = max((thing.d.nominal for thing in things.values()), default=1.0)
    choices = []
    for value, told in values:
        note = ""
        if value in things:
            draw: Draw | None = thing_art(things[value].d.nominal, largest)
            note = f"{things[value].d.nominal:g}{THIN}mm"
        elif feature is Feature.OFF:
            draw = way_off_art(value)
        else:
            half = example(ways.inquiry.ranked, feature, value)
            draw = None if half is None else card_art(ways.desk, half, feature)
        art = None if draw is None else Art(draw, *size)
        choices.append(Choice(f"value-{value}", told, ways.saw(feature, value), art, note, value == chosen))
    column.cards(choices, 1 if single else 2)
    column.cards([Choice("not-sure", "I cannot tell", ways.not_sure)], 1, already=len(choices))
    _back_button(ways, column)


def _measure(ways: Ways, column: Stack, feature: Feature) -> None:
    threads = feature is Feature.THREADS
    label = "Threads on 10 mm, or such as 36tpi" if threads else "Size, such as 6.3, 1/4in or 6.3+-0.1"
    column.field("size", label, ways.typed, lambda: None, ways.measured, "" if threads else "mm")
    column.button("take", "Take this reading", ways.measured, "action")
    _where(ways, column, feature)
    column.buttons([
        ("digits", "Digits to click", lambda: open_keypad(ways.desk, ways.typed, ways.measured), False),
        ("none-there", "There is none", ways.none_there, False),
        ("not-sure", "I cannot tell", ways.not_sure, False),
    ])  # fmt: skip
    _back_button(ways, column)
    if not threads:
        column.part("Measured with")
        instruments = ways.inquiry.looks.table.instruments
        column.buttons([
            (f"with-{key}", f"{key}, \N{PLUS-MINUS SIGN}{row.plus_minus.nominal:g} mm",
             lambda key=key: ways.inquiry.use(instrument=key),  # type: ignore[misc]
             key == ways.inquiry.state.instrument)
            for key, row in instruments.items()
        ])  # fmt: skip


def _where(ways: Ways, column: Stack, feature: Feature) -> None:
    """Where the instrument goes, on the likeliest half that has what is measured."""
    reach = ways.inquiry.looks.table.jaws.reach
    half = next((h for h, _ in ways.inquiry.ranked if measuring.place(h, feature, reach) is not None), None)
    if half is not None:
        box = Box(column.x, column.y, column.width, MEASURING)
        column.put(Stage("where", box, lambda pen, at: measuring.draw(pen, at, ways.desk, half, feature, reach)))


def _back_button(ways: Ways, column: Stack) -> None:
    if ways.asked is not None and ways.asked in ways.inquiry.state.answers:
        column.buttons([("take-back", "Take this answer back", ways.take_back, False)])
