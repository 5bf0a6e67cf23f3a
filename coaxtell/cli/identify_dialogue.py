"""The questions of `coaxtell identify` in the terminal: one at a time, each answer open to change."""

from __future__ import annotations

import shlex
from collections.abc import Callable

import msgspec

from coaxtell import narrow
from coaxtell.identifier import answers, contradiction, report, words
from coaxtell.identifier.answers import Answer, NotSure, NotThere, State, Term
from coaxtell.identifier.belief import Shortlist, ranked
from coaxtell.identifier.features import LIKENED, MEASURED, Feature
from coaxtell.identifier.identification import Candidate, Settled, how_settled
from coaxtell.identifier.partners import partners_of
from coaxtell.identifier.question import Next, bayonet_seen, lacking, mate_stays, named, next_question, question
from coaxtell.identifier.words import percent
from coaxtell.models.acts import Act, Need, before
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.models.words import said

KEYS = "u not sure   b change an answer   q stop and show what is known"
COMMANDS = {"u": "u", "unsure": "u", "not-sure": "u", "b": "b", "back": "b", "q": "q", "quit": "q"}
LETTERS_IN_FULL = "or other, if it is none of these. Here a letter is an answer: type unsure, back or quit in full"
GOES_ON = "Your answers are kept: `coaxtell identify --resume` goes on with them."
LONGEST_ANSWER = 80
"""Letters of an answer; what is longer was pasted by mistake."""
NO_BREAK = "\u00a0"
SIZES = {Feature.THREADS: "14.2 (on 10 mm) or 36tpi"}
"""Examples of what to type where they are no lengths."""


class StopAskingError(Exception):
    """The person, or the end of the input, ends the questions."""


def _say(text: str, indent: str = "  ") -> None:
    print(wrapped(text, indent, "  "))


class Dialogue:
    """A conversation in the terminal about one port."""

    def __init__(self, shortlist: Shortlist, state: State, keep: Callable[[State], None]) -> None:
        """`keep` writes the answers down and raises InputError where it cannot."""
        self.shortlist = shortlist
        self.state = state
        self._keep = keep
        self.kept = False
        """Whether every answer is written down."""
        self.ended = False
        """Whether the questions came to their end, and were not left."""
        self._warned = False
        self.told: list[Feature] = list(state.answers)
        self.asked_voltage = bool({Term.NO_HIGH_VOLTAGE, Term.HIGH_VOLTAGE, Term.LOOK_ONLY} & state.terms)

    def run(self) -> State:
        """Ask until it is settled or the person leaves; gives what is known then."""
        acts = [Act.UNSCREW, Act.TOUCH, Act.MEASURE] if Term.MATED in self.state.terms else [Act.TOUCH, Act.MEASURE]
        print(wrapped(said(before(acts))[0]))
        print("Hold it so that you look into its face. Answer with a number or a size.")
        print(KEYS)
        try:
            while True:
                self._voltage()
                asked = next_question(self.shortlist, self.state)
                if asked is None:
                    if not self._settled():
                        self.ended = True
                        break
                    continue
                self._one(asked)
        except StopAskingError:
            pass
        except KeyboardInterrupt:
            print("\n")
            narrow.copied("What was answered so far:", self.command())
            if self.kept:
                print(GOES_ON)
            raise
        print()
        return self.state

    def _voltage(self) -> None:
        """A bayonet may be one for high voltage: ask once before anything touches it."""
        if self.asked_voltage or not (bayonet_seen(self.state) or mate_stays(self.shortlist, self.state)):
            return
        self.asked_voltage = True
        print()
        _say("A bayonet of two studs may be one for high voltage. Is it radio or video equipment, with none on it?", "")
        none = self._yes("y or n> ")
        term = Term.NO_HIGH_VOLTAGE if none else Term.HIGH_VOLTAGE
        self._hold(msgspec.structs.replace(self.state, terms=self.state.terms | {term}))
        if not none:
            print("  Then nothing is touched or measured here; only looks are asked for.")

    def _yes(self, prompt: str) -> bool:
        while True:
            typed = self._read(prompt)
            if typed in ("q", "quit"):
                raise StopAskingError
            if typed in ("y", "yes", "n", "no", "u", "unsure", "?"):
                return typed.startswith("y")
            print("  Type y or n.")

    def command(self) -> str:
        """The command that gives the answers so far at once."""
        words = ["coaxtell", "identify", "--setting", self.state.setting, "--with", self.state.instrument]
        for feature, answer in self.state.answers.items():
            option = "--measured" if feature in MEASURED else "--saw"
            words += [option, f"{feature}={answers.as_typed(answer)}"]
        for feature, answer in self.state.again.items():
            words += ["--again", f"{feature}={answers.as_typed(answer)}"]
        words += [f"--{term}" for term in sorted(self.state.terms)]
        return shlex.join(words)

    def _one(self, asked: Next) -> None:
        """One question, until it has an answer or another is wanted."""
        print()
        self._so_far()
        self._clash()
        print(f"\n{'Once more: ' if asked.again else ''}{asked.ask}")
        for reason in asked.first:
            _say(words.say(reason))
        _say(asked.how)
        _say(f"Why: {words.say(asked.why)}")
        choices = self._choices(asked.feature)
        if asked.feature is Feature.LETTER:
            said = [answers.as_typed(answer) for answer, _ in choices]
            letters = ", ".join(letter.upper() for letter in said if len(letter) == 1)
            _say(f"type the letter, one of {letters}; {LETTERS_IN_FULL}")
        else:
            for number, (_, told) in enumerate(choices, 1):
                print(f"  {number}  {told}")
        if asked.feature in MEASURED:
            print(f"  type the size, such as {SIZES.get(asked.feature, '6.3, 1/4in, 6.3+-0.1')}; n: there is none")
        while True:
            typed = self._read(f"{asked.feature}> ")
            command = None if asked.feature is Feature.LETTER and len(typed) == 1 else COMMANDS.get(typed)
            if command == "b":
                self._change()
                return
            if command == "q":
                raise StopAskingError
            answer = NotSure() if command == "u" else self._answer(asked.feature, typed, choices)
            if answer is not None:
                self._tell(asked.feature, answer, asked.again)
                return

    def _tell(self, feature: Feature, answer: Answer, again: bool) -> None:
        beside = words.other_reading(self.state, feature, answer, again)
        if beside:
            _say(beside)
        self._hold(self.state.tell(feature, answer, again))
        self.told = [f for f in self.told if f is not feature] + [feature]

    def _hold(self, state: State) -> None:
        """Take a state over and write it down; where that cannot be, say so once and go on."""
        self.state = state
        try:
            self._keep(state)
            self.kept = True
        except InputError as error:
            self.kept = False
            if not self._warned:
                print(
                    wrapped(f"  Your answers are not kept, so that --resume cannot go on with them: {error}", "", "  ")
                )
            self._warned = True

    def _choices(self, feature: Feature) -> list[tuple[Answer, str]]:
        """The numbered choices of a question; none where a size is typed."""
        looks = self.shortlist.looks
        if feature in MEASURED:
            return []
        if feature in LIKENED:
            told = {
                k: f"about as wide as {thing.name} ({thing.d.nominal:.1f} mm)"
                for k, thing in looks.scale(feature).items()
            }
        else:
            told = looks.table.seen[feature].values
        return [(answers.saw(feature, value, looks), told[value]) for value in self.shortlist.offered(feature)]

    def _answer(self, feature: Feature, typed: str, choices: list[tuple[Answer, str]]) -> Answer | None:
        """The answer that was typed, none where it was not understood (which is then said)."""
        if feature in MEASURED:
            if typed in ("n", "no"):
                return NotThere()
            if typed in ("y", "yes"):
                print("  How much does it measure, then? Type the size, or n: there is none.")
                return None
        elif typed.isascii() and typed.isdigit():
            if 1 <= int(typed[:4]) <= len(choices):
                return choices[int(typed[:4]) - 1][0]
            print(f"  There is no choice {typed}; give 1 to {len(choices)}, or one of: {KEYS}")
            return None
        try:
            if feature in MEASURED:
                return answers.measured(feature, typed, self.state.instrument, self.shortlist.looks)
            return answers.saw(feature, typed, self.shortlist.looks)
        except InputError as error:
            print(f"  {error}")
            return None

    def _so_far(self) -> None:
        few = report.shown([Candidate(half.id, p) for half, p in ranked(self.shortlist, self.state)])
        # a share stays in one line with its half
        kept = [f"{c.id} {percent(c.probability)}".replace(" ", NO_BREAK) for c in few]
        print(wrapped("Shortlist: " + ", ".join(kept), "", "  ").replace(NO_BREAK, " "))

    def _clash(self) -> bool:
        """Say which answers no connector gives together; true where there are any."""
        clash = contradiction.find(self.shortlist, self.state.counted)
        if clash is not None:
            to_gauge = Need.NOT_PRECISION in lacking(self.shortlist, self.state, clash.misread)
            _say(f"Clash: {words.clash(clash, self.state.counted, to_gauge)}", "")
        return clash is not None

    def _best(self) -> int:
        return named(self.shortlist, self.shortlist.belief(self.state.answers, self.state.again))

    def _settled(self) -> bool:
        """Say that it is settled; true where the person changes something all the same."""
        print()
        self._so_far()
        self._clash()
        fit = partners_of(self.shortlist, self.shortlist.halves[self._best()]).fit
        settled = how_settled(self.shortlist, self.state, fit)
        if settled is Settled.NOT_SETTLED:
            print("Not settled, and no look that is left here would settle it: the result says what would.")
        else:
            print("What to order is settled as far as looking pays.")
        while True:
            typed = self._read("b to change an answer, Enter for the result> ", empty=True)
            if typed in ("", "q"):
                return False
            if typed == "b":
                self._change()
                return True
            print("  Type b, or just Enter.")

    def _change(self) -> None:
        """Let one earlier answer be given again or taken back."""
        if not self.told:
            print("  Nothing has been answered yet.")
            return
        for number, feature in enumerate(self.told, 1):
            print(f"  {number}  {words.said(feature, self.state.counted[feature])}")
        while True:
            typed = self._read("which one (its number; Enter: the last)> ", empty=True)
            if typed == "q":
                raise StopAskingError
            if typed == "" or (typed.isascii() and typed.isdigit() and 1 <= int(typed[:4]) <= len(self.told)):
                break
            print(f"  Give a number from 1 to {len(self.told)}.")
        feature = self.told[-1] if typed == "" else self.told[int(typed[:4]) - 1]
        self._hold(self.state.withdraw(feature))
        self.told.remove(feature)
        self._one(question(self.shortlist, self.state, feature))

    @staticmethod
    def _read(prompt: str, empty: bool = False) -> str:
        while True:
            try:
                typed = input(narrow.prompt(prompt)).strip().lower()
            except EOFError:
                print()
                raise StopAskingError from None
            if len(typed) > LONGEST_ANSWER:
                print(f"  That is too long for an answer; give at most {LONGEST_ANSWER} letters.")
            elif typed or empty:
                return typed
