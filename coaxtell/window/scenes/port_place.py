"""Where the port is, what is at hand, and what holds there: said once, before or between the questions."""

from __future__ import annotations

from typing import Protocol

from coaxtell.identifier.answers import Term
from coaxtell.identifier.features import Feature
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.inquiry import Inquiry, feature_words
from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.stack import Choice, Stack
from coaxtell.window.kit.widgets import Action

INSTRUMENTS = {"calliper": "a calliper", "ruler": "a ruler", "none": "only my eyes"}
TERMS = {
    Term.LOOK_ONLY: "It is energised: look only",
    Term.NO_REACH: "I cannot reach behind it",
    Term.MATED: "Its mate is still on it, and may come off",
    Term.NO_HIGH_VOLTAGE: "It is radio or video, no high voltage",
    Term.HIGH_VOLTAGE: "It may carry high voltage, or nobody knows",
}
SHORT = {
    Term.LOOK_ONLY: "look only", Term.NO_REACH: "out of reach behind", Term.MATED: "mate on",
    Term.NO_HIGH_VOLTAGE: "no high voltage", Term.HIGH_VOLTAGE: "high voltage?",
}  # fmt: skip
"""The same beside the question."""


class Ways(Protocol):
    """What is asked of the scene."""

    desk: Desk
    inquiry: Inquiry


def items(ways: Ways) -> list[tuple[str, str, Action]]:
    """What was said of the place and what is at hand, each a way to say it anew: key, words, action."""
    state = ways.inquiry.state
    # a saved port may have been read by an instrument of its own, such as +-0.1
    told = [INSTRUMENTS.get(state.instrument, state.instrument), *(SHORT[term] for term in Term if term in state.terms)]
    return [
        ("setting", f"where: {ways.inquiry.looks.settings[state.setting].words}", lambda: _ask_setting(ways)),
        ("at-hand", f"at hand: {', '.join(told)}", lambda: ask_at_hand(ways)),
    ]


def _ask_setting(ways: Ways) -> None:
    """Where the port is: what is met there counts until answers say otherwise."""

    def at(key: str) -> Action:
        def act() -> None:
            ways.desk.close_dialog()
            ways.inquiry.use(setting=key)

        return act

    def fill(stack: Stack) -> None:
        stack.say("What is usual there comes first until your answers say otherwise.", role="quiet")
        stack.cards([
            Choice(f"setting-{key}", setting.words, at(key), chosen=key == ways.inquiry.state.setting)
            for key, setting in ways.inquiry.looks.settings.items()
        ], columns=1)  # fmt: skip

    ways.desk.ask(Dialog("Where is the port?", fill))


def ask_back(ways: Ways, feature: Feature, withdrawn: Action) -> None:
    """An answer about what may not be looked at now: why not, and to take it back or leave it; `withdrawn` is told."""

    def back() -> None:
        ways.desk.close_dialog()
        ways.inquiry.withdraw(feature)
        withdrawn()

    def fill(stack: Stack) -> None:
        stack.check(f"{ways.inquiry.why_not(feature)} So it is not asked again.", None)
        stack.button("leave-it", "Leave the answer", ways.desk.close_dialog, "action")
        stack.button("withdraw", "Take this answer back", back)

    ways.desk.ask(Dialog(f"{feature_words(feature)}: {ways.inquiry.said(feature)}", fill))


def ask_at_hand(ways: Ways, after: Action = lambda: None) -> None:
    """What is at hand and what holds there: nothing is asked that needs what is not there, or must not be done; `after`
    is done once it is left."""

    def using(key: str) -> Action:
        return lambda: ways.inquiry.use(instrument=key)

    def saying(term: Term) -> Action:
        return lambda: ways.inquiry.hold(term, term not in ways.inquiry.state.terms)

    def done() -> None:
        ways.desk.close_dialog()
        ways.desk.wanted_top = True  # another question may stand in the column now
        after()

    def fill(stack: Stack) -> None:
        state = ways.inquiry.state
        stack.part("To measure with")
        held = state.instrument
        stack.buttons([(f"with-{key}", words, using(key), key == held) for key, words in INSTRUMENTS.items()])
        stack.part("And it holds that")
        stack.cards(
            [Choice(f"term-{term}", words, saying(term), chosen=term in state.terms) for term, words in TERMS.items()],
            columns=1,
        )
        stack.button("at-hand-done", "Go on", done, "action")

    ways.desk.ask(Dialog("What is at hand?", fill, after))
