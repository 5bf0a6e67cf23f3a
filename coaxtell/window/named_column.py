"""The column of a named port: how sure, what to order, where to go on, what looks alike, what it rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import SURE
from coaxtell.identifier.words import gender, number, order, percent
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.window.naming import alike_words, feature_words
from coaxtell.window.stack import Stack
from coaxtell.window.theme import SMALL
from coaxtell.window.views import VIEWS

if TYPE_CHECKING:
    from coaxtell.window.scenes.name_port import NamePort


def fill(scene: NamePort, column: Stack, fit: Half | None) -> None:
    """Everything to say of the port, the way on first."""
    naming, desk = scene.naming, scene.desk
    found = naming.found
    column.verdict(found.name, "text")
    column.check(f"{percent(found.probability)} sure; {found.polarity} polarity; {gender(found)}.",
                 True if found.probability >= SURE else None, key="how-sure")  # fmt: skip
    if naming.clash:
        column.check(naming.clash, False, key="contradiction")
    if desk.pictures.why:
        column.check(desk.pictures.why, None, key="drawings", size=SMALL)
    column.buttons([(f"view-{v}", v, scene.seeing(v), v == scene.view) for v in VIEWS])
    column.button("copy", "Copy the order words", scene.copy, "action")
    column.say(order(found), key="order-words")
    if fit is not None:
        column.button("bring", f"Bring together with {fit.name}", scene.bring)
    column.buttons([
        ("to-cable", "Find its cable", scene.to_cable, False), ("sheet", "Save the sheet", scene.save, False),
    ])  # fmt: skip
    if found.next is not None:
        column.button("ask-on", "Ask me more", scene.ask_on)
    if found.beware:
        column.part("Looks alike")
        for one in found.beware:
            harmful = one.verdict == Verdict.DAMAGES.value
            column.check(desk.spoken(alike_words(one)), False if harmful else None, key=f"beware-{one.id}")
    column.part("Caution")
    for caution in naming.cautions:
        column.say(desk.spoken(caution), after=0.75)
    if found.rests_on:
        column.part("What it rests on")
        for rest in found.rests_on:
            column.say(f"{feature_words(rest.feature)}: without it {percent(rest.without)}", SMALL, after=0.5)
    for soft in found.soft_numbers:
        column.say(f"Not sure in the tables: {number(found.half, soft)}", SMALL, "quiet", after=0.5)
    left = [f for f in Feature if f not in naming.state.answers]
    if left:
        column.part("Look at something else as well")
        column.buttons([(f"look-{f.value}", feature_words(f), scene.looking_at(f), False) for f in left])
    column.button("over-now", "Name another port", scene.over)
