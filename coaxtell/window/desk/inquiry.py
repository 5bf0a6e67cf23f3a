"""The answers about one port and what follows from them, worked out once for each change."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec

from coaxtell import saved_port
from coaxtell.identifier import answers, looks, words
from coaxtell.identifier.answers import Answer, NotSure, NotThere, Read, Saw, State, Term
from coaxtell.identifier.belief import Shortlist, ranked, shortlist_of
from coaxtell.identifier.features import LIKENED, SEEN, Feature
from coaxtell.identifier.identification import Identification, LookAlike, identify, with_unmeasured
from coaxtell.identifier.instruments import NONE
from coaxtell.identifier.question import (
    Next,
    askable,
    bayonet_seen,
    lacking,
    mate_stays,
    may_do,
    may_look,
    question,
    said_first,
)
from coaxtell.identifier.record import plain, state_from
from coaxtell.models.acts import Act, Need
from coaxtell.models.catalogue import Reason, word
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import Verdict
from coaxtell.models.tables import Tables, version

STAYS = "{why} Answer what shows past it; of the rest say that you cannot tell."
ENERGISED = "It is energised: nothing of it is touched or measured."
KILOVOLTS = "It may carry kilovolts: nothing of it is touched or measured until somebody knows that it does not."
MAY_BE_ONE = "It may be a bayonet for high voltage: nothing of it is touched or measured until somebody knows of none."
PRECISE = "It may be a precision port: nothing but its maker's own gauge touches or enters its face."
OF_THE_PLACE = frozenset({Term.LOOK_ONLY, Term.NO_REACH})
"""What is said of the place rather than of one port."""


def feature_words(feature: Feature) -> str:
    """A feature as a person reads it."""
    return feature.value.replace("-", " ")


def alike_words(one: LookAlike) -> str:
    """A look-alike: what would become of it with the part ordered, and the look that tells."""
    harm = f"{word(Verdict(one.verdict))} with {one.mate}" if one.verdict else "no mate known"
    tell = words.say(one.tell)
    return f"{one.name}: {harm}. {tell[:1].upper()}{tell[1:]}"


class Inquiry:
    """A state of answers with its shortlist and identification."""

    def __init__(self, known: Tables, setting: str = "uhf-reader") -> None:
        """No answers yet."""
        self.tables, self.halves = known, known.halves
        self.looks = looks.load()
        self.state = State(setting if setting in self.looks.settings else "any")
        self._found: tuple[State, Identification] | None = None
        self._ranked: tuple[State, list[tuple[Half, float]]] | None = None
        self._others: tuple[State, list[Feature]] | None = None
        self._may: tuple[State, set[Feature]] | None = None
        self._plain: tuple[State, dict[str, Any]] | None = None

    @property
    def shortlist(self) -> Shortlist:
        """All halves with what each would show, in the setting in force."""
        return shortlist_of(self.halves, self.state.setting)

    @property
    def found(self) -> Identification:
        """The identification after the answers so far."""
        if self._found is None or self._found[0] != self.state:
            self._found = (self.state, with_unmeasured(identify(self.shortlist, self.state), self.tables))
        return self._found[1]

    @property
    def ranked(self) -> list[tuple[Half, float]]:
        """The halves with their probabilities, best first."""
        if self._ranked is None or self._ranked[0] != self.state:
            self._ranked = (self.state, ranked(self.shortlist, self.state))
        return self._ranked[1]

    def question(self, feature: Feature, again: bool = False) -> Next:
        """The question about one feature, at the first look or once more."""
        return question(self.shortlist, self.state, feature, again)

    def values(self, feature: Feature) -> list[tuple[str, str]]:
        """The values of a seen feature with their words, as they are offered."""
        if feature in LIKENED:
            return [(key, thing.name) for key, thing in self.looks.scale(feature).items()]
        known = self.looks.table.seen[feature].values
        return [(value, known[value]) for value in self.shortlist.offered(feature)]

    def saw(self, feature: Feature, value: str, again: bool = False) -> None:
        """A value was seen, at the first look or at the second."""
        self.state = self.state.tell(feature, answers.saw(feature, value, self.looks), again)

    def measured(self, feature: Feature, typed: str, again: bool = False) -> str:
        """A size was typed, or none; returns what became of another reading beside one by photograph, in a sentence.

        Raises InputError where it is no size.
        """
        answer = answers.measured(feature, typed, self.state.instrument, self.looks)
        beside = words.other_reading(self.state, feature, answer, again)
        self.state = self.state.tell(feature, answer, again)
        return beside

    def not_sure(self, feature: Feature, again: bool = False) -> None:
        """The person looked and cannot tell."""
        self.state = self.state.tell(feature, NotSure(), again)

    @property
    def others(self) -> list[Feature]:
        """What was not looked at yet and may be: nothing that needs what is not there, or must not be done."""
        if self._others is None or self._others[0] != self.state:
            self._others = (self.state, askable(self.shortlist, self.state))
        return self._others[1]

    @property
    def may_be_high_voltage(self) -> bool:
        """Whether it looks like a bayonet, of which nobody has said yet that no high voltage is on it."""
        return bayonet_seen(self.state) and not {Term.NO_HIGH_VOLTAGE, Term.HIGH_VOLTAGE} & self.state.terms

    @property
    def mate_stays(self) -> bool:
        """Whether a mate is on it that may come off only once somebody says that no high voltage is on it."""
        return mate_stays(self.shortlist, self.state)

    def may(self, feature: Feature) -> bool:
        """Whether it may be looked at now, for the first time or once more."""
        if self._may is None or self._may[0] != self.state:
            self._may = (self.state, may_look(self.shortlist, self.state))
        return feature in self._may[1]

    def why_not(self, feature: Feature) -> str:
        """Why it may not be looked at now, in a sentence; empty where it may."""
        if self.may(feature):
            return ""
        lack = lacking(self.shortlist, self.state, feature)
        if Need.SWITCHED_OFF in lack:
            return ENERGISED
        if Need.NO_HIGH_VOLTAGE in lack:
            return KILOVOLTS if Term.HIGH_VOLTAGE in self.state.terms else MAY_BE_ONE
        if lack:
            return PRECISE
        if feature not in SEEN and self.state.instrument == NONE:
            return "Nothing to measure with is at hand."
        return "No mate is on it." if self.looks.row(feature).mated else "It is out of reach behind."

    @property
    def onward(self) -> tuple[str, Feature | None] | None:
        """What to do while the name does not stand, in words, and the feature to look at; none for the one in turn.

        Look again at what contradicts, else at the next; none where it may carry kilovolts or nothing may be done.
        """
        found = self.found
        if found.high_voltage:
            return None
        if found.contradiction is not None and self.may(found.contradiction.misread):
            return f"Look at the {feature_words(found.contradiction.misread)} again", found.contradiction.misread
        if found.next is not None:
            return f"Look at the {feature_words(found.next.feature)} next", None
        return ("Look at something else as well", self.others[0]) if self.others else None

    @property
    def voltage(self) -> bool:
        """Whether it was said that it may carry high voltage, of a port that does not look like one for it."""
        return Term.HIGH_VOLTAGE in self.state.terms and not self.found.high_voltage

    @property
    def why_mated(self) -> str:
        """Why a mate that is still on it stays there, in a sentence; empty where it may come off, or none is on it."""
        if Term.MATED not in self.state.terms or Feature.OFF in self.state.answers:
            return ""
        if Term.LOOK_ONLY in self.state.terms:
            return "It is energised: its mate stays on."
        if Term.HIGH_VOLTAGE in self.state.terms:
            return "It may carry kilovolts: its mate stays on until somebody knows."
        if self.mate_stays:
            return "A bayonet may be one for high voltage: the mate stays on until somebody knows."
        return ""

    @property
    def mate_on(self) -> str:
        """Why a mate that is still on it stays there, and what to do meanwhile, in sentences; empty where it may come
        off, or none is on it."""
        return STAYS.format(why=self.why_mated) if self.why_mated else ""

    @property
    def settles(self) -> str:
        """What would settle a port that is not, in sentences; a mate that stays on hides what stands in the centre."""
        found = self.found
        if found.settled:
            return self.why_mated
        if not self.why_mated or found.high_voltage:
            return words.settles(found)
        if found.next is None and not found.centre_told:
            return f"{self.why_mated} While it is on, nobody sees what stands in the centre, and no polarity is sure."
        return f"{self.why_mated} {words.settles(found)}"

    def no_high_voltage(self) -> None:
        """It is radio or video equipment, with no high voltage on it."""
        self.hold(Term.NO_HIGH_VOLTAGE, True)

    def hold(self, term: Term, holds: bool) -> None:
        """Say of the port or the place that something holds, or no longer does."""
        opposite = {Term.NO_HIGH_VOLTAGE: Term.HIGH_VOLTAGE, Term.HIGH_VOLTAGE: Term.NO_HIGH_VOLTAGE}.get(term)
        rest = self.state.terms - {term, opposite}
        self.state = msgspec.structs.replace(self.state, terms=rest | {term} if holds else rest)

    def afresh(self) -> Inquiry:
        """The same port asked from the start: what was said of it and of its place stays."""
        found = Inquiry(self.tables, self.state.setting)
        found.state = State(self.state.setting, self.state.instrument, terms=self.state.terms)
        return found

    def another(self) -> Inquiry:
        """Another port of the same place: what is at hand, energised and out of reach there stays so."""
        found = self.afresh()
        found.state = msgspec.structs.replace(found.state, terms=self.state.terms & OF_THE_PLACE)
        return found

    def withdraw(self, feature: Feature) -> None:
        """Take an answer back."""
        self.state = self.state.withdraw(feature)

    def use(self, setting: str = "", instrument: str = "") -> None:
        """Another setting or instrument."""
        self.state = msgspec.structs.replace(
            self.state, setting=setting or self.state.setting, instrument=instrument or self.state.instrument
        )

    @property
    def clash(self) -> str:
        """Answers that no connector gives together, in a sentence; empty where there is no such thing."""
        found = self.found.contradiction
        if found is None:
            return ""
        told = "; ".join(f"{feature_words(f)}: {self.said(f)}" for f in found.features)
        misread, why = feature_words(found.misread), self.why_not(found.misread)
        again = f"The {misread} was misread most likely. {why}" if why else f"Look at the {misread} again."
        return f"No connector in the tables shows this ({told}). {again}"

    @property
    def doubted(self) -> str:
        """What goes against the name, in sentences: readings that exclude each other, answers that clash, or that do
        not go with the port; empty where nothing does."""
        found = self.found
        if found.high_voltage:
            return self.clash
        told = []
        for feature, (one, other) in found.apart.items():
            both = {"one": f"{feature_words(feature)} {self._said(feature, one)}", "other": self._said(feature, other)}
            told.append(words.say(Reason("caution.apart", dict(both))))
        odd = "; ".join(f"{feature_words(f)}: {self.said(f)}" for f in found.misfits if f not in found.apart)
        if self.clash:
            told.append(self.clash)
        elif odd:
            told.append(words.say(Reason("caution.misfit", {"said": odd, "name": found.name})))
        return " ".join(told)

    @property
    def on_it(self) -> list[str]:
        """What was said to be on it, in sentences."""
        return words.on_it(self.found)

    def may_do(self, act: Act) -> bool:
        """Whether an act may be proposed on the port."""
        return may_do(self.shortlist, self.state, act)

    @property
    def from_afar(self) -> list[str]:
        """Why nothing is held beside the port, in sentences; empty where that may be, or nothing was said of it."""
        if not (self.state.answers or self.state.terms):
            return []
        return [words.say(reason) for reason in said_first(self.shortlist, self.state)]

    @property
    def goes_along(self) -> list[str]:
        """What goes along with the port into every other job and is told first there, in sentences."""
        told = words.before_all(self.found, with_clash=False)
        if not (self.on_it or self.found.high_voltage or self.may_do(Act.JOIN)):
            told.insert(0, MAY_BE_ONE)
        return [*told, self.doubted] if self.doubted else told

    @property
    def cautions(self) -> list[str]:
        """What to be careful about, the contradiction apart."""
        return words.cautions(self.found, with_clash=False)

    def said(self, feature: Feature) -> str:
        """The answer that counts, in words; both of two readings that exclude each other."""
        if feature in self.state.apart:
            return " or ".join(self._said(feature, read) for read in self.state.apart[feature])
        return self._said(feature, self.state.counted.get(feature))

    def _said(self, feature: Feature, answer: Answer | None) -> str:
        if isinstance(answer, Saw):
            return dict(self.values(feature))[answer.value] if feature in SEEN else answer.value
        if isinstance(answer, Read):
            if answer.pictured:
                return f"{answer.typed} (experimental)"
            unit = " on 10 mm" if feature is Feature.THREADS else " mm"
            return answer.typed if any(c.isalpha() or c == '"' for c in answer.typed) else f"{answer.value:g}{unit}"
        if isinstance(answer, NotThere):
            return "none"
        return "not sure"

    def plain(self) -> dict[str, Any]:
        """Everything as data that JSON can hold, as `identify --save` writes it."""
        if self._plain is None or self._plain[0] != self.state:
            self._plain = (self.state, plain(self.state, self.found, version(self.tables)))
        return self._plain[1]

    def take(self, data: object, where: str) -> None:
        """Go on from a saved identification; raises InputError where it is none."""
        self.state = state_from(data, where, self.looks)

    def load(self, path: Path) -> str:
        """Go on from a file; returns what its answers say otherwise under these tables, empty where nothing.

        Raises InputError where it holds no saved identification.
        """
        try:
            data = saved_port.loaded(path)
        except InputError:
            raise InputError(
                f"{path.name} is no saved identification; drop a file that this window or `coaxtell identify --save` "
                "wrote."
            ) from None
        self.take(data, path.name)
        return saved_port.changed(data, self.plain(), path, self.tables)
