"""The sentences of the identifier: the one place where what it found is said, in any language that has its texts."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from coaxtell.identifier import looks
from coaxtell.identifier.answers import Answer, Read, Saw, State, apart, as_typed
from coaxtell.identifier.contradiction import Contradiction
from coaxtell.identifier.features import LIKENED, SEEN, Feature
from coaxtell.identifier.guide import NONE, Question, Way
from coaxtell.identifier.identification import SURE, Brief, Identification, LookAlike, Rest, Settled
from coaxtell.identifier.partners import NOT_KNOWN, NOT_KNOWN_HARM
from coaxtell.models.acts import Act
from coaxtell.models.catalogue import ENGLISH, MODELS, Catalogue, Reason, called
from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import Verdict
from coaxtell.models.measure import Measure, text
from coaxtell.models.numbers import Path
from coaxtell.models.words import gender_words, label, order_words

UNMEASURED = "unmeasured.taken_for"
"""The code of what is said of a half that looks alike and has no known sizes."""
HIGH_VOLTAGE = "need.no_high_voltage"
"""The code of what is said before one joins what looks like a port for high voltage."""


GAUGED = "tells.gauged"
"""The code of what only the maker's own gauge may tell."""


class _Texts(Catalogue):
    """The texts of this room, with what looks.toml and things.toml call each value of a look and each thing."""

    def _load(self, language: str = ENGLISH) -> dict[str, str]:
        known = looks.load(language)
        found = {f"thing.{key}": thing.name for key, thing in known.things.items()}
        for feature, row in known.table.seen.items():
            for value, words in row.values.items():
                found[f"value.{feature}.{value}"] = words.partition(":")[0]
        return found | super()._load(language)


TEXTS = _Texts("coaxtell.identifier", below=MODELS)


def say(reason: Reason, language: str = ENGLISH) -> str:
    """The sentence of a reason that the identifier gave."""
    return TEXTS.say(reason, language)


SURE_OVER, SURE_UNDER = 0.995, 0.01
"""Beyond these a percentage would say a hundred or nought: words stand in its place."""


def percent(probability: float) -> str:
    """A probability as a person reads it; never a hundred, never nought."""
    if probability > SURE_OVER:
        return say(Reason("sure.over"))
    return say(
        Reason("sure.percent", {"percent": 100 * probability}) if probability >= SURE_UNDER else Reason("sure.under")
    )


def said(feature: Feature, answer: Answer) -> str:
    """An answer as it was given: `coupling=lugs`, `bore=6.5`; of a size by photograph that it is experimental."""
    code = "clash.pictured" if isinstance(answer, Read) and answer.pictured else "clash.answer"
    return say(Reason(code, {"feature": feature.value, "typed": as_typed(answer)}))


def other_reading(state: State, feature: Feature, answer: Answer, again: bool = False) -> str:
    """What becomes of this reading and of those before it, once it is told to the state, in sentences.

    Empty where none stands there; where only one by hand stands, and another by hand takes its place; and where none
    of a photograph's is among them.
    """
    was, told = state.readings(feature), state.tell(feature, answer, again)
    if not isinstance(answer, Read) or answer in was or not was:
        return ""
    if not (answer.pictured or len(was) > 1 or was[0].pictured):
        return ""
    kept = told.readings(feature)
    gone = [read for read in was if read not in kept]
    pair = told.apart.get(feature, ())
    codes: list[tuple[str, Read]] = []
    if answer in pair:
        codes = [("beside.apart", next(read for read in pair if read != answer))]
    elif answer not in kept:
        finer = [read for read in kept if read.plus_minus < answer.plus_minus and not apart(read, answer)]
        both = len([read for read in pair if not apart(read, answer)]) == len(pair) == 2
        codes = [("beside.both", kept[0])] if both else [("beside.before_finer", finer[-1])]
    elif answer.pictured:
        before = next(read for read in reversed(was) if not apart(read, answer))
        if answer.plus_minus < before.plus_minus:
            codes = [("beside.photograph_finer", before)]
        elif before in gone:
            codes = [("beside.anew", before)]
        gone = [read for read in gone if read != before]
    codes += [(_gone(read, answer), read) for read in gone]
    now = _reading(answer)
    reasons = [Reason(code, {"feature": feature.value, "before": _reading(read), "now": now}) for code, read in codes]
    return " ".join(say(reason) for reason in reasons)


def _gone(read: Read, answer: Read) -> str:
    """The code of what is said of a reading that is kept no longer, now that this answer was told."""
    if not answer.pictured:
        return "beside.instead" if apart(read, answer) else "beside.anew"
    if not read.pictured:
        return "beside.third"
    return "beside.excluded" if apart(read, answer) else "beside.anew"


def _reading(read: Read) -> Reason:
    code = "beside.pictured" if read.pictured else "beside.measured"
    return Reason(code, {"value": read.value, "off": read.plus_minus})


def outcome(alike: LookAlike) -> str:
    """What becomes of a look-alike with the part ordered, empty where nothing is known."""
    return " ".join(say(reason) for reason in alike.reasons)


def listed(code: str, words: Sequence[str | Reason]) -> Reason | str:
    """Several words joined two by two by the text of a code."""
    *before, last = words
    return Reason(code, {"first": listed(code, before), "last": last}) if before else last


def clash(found: Contradiction, answers: Mapping[Feature, Answer], to_gauge: bool = False) -> str:
    """Which answers no connector gives together, and the one to look at again; to take back where that is left to the
    maker's own gauge."""
    words = [said(feature, answers[feature]) for feature in found.features]
    if len(words) == 1:
        return say(Reason("clash.one", {"said": words[0]}))
    both = Reason("clash.and", {"first": listed("clash.comma", words[:-1]), "last": words[-1]})
    code = "clash.gauged" if to_gauge else "clash.several"
    return say(Reason(code, {"said": both, "misread": found.misread.value}))


def number(half: Half, soft: tuple[Path, Measure]) -> str:
    """A soft number of a half with its range."""
    path, measure = soft
    return f"{label(half, path)}: {text(measure)}"


def rest(found: Rest, against: bool) -> str:
    """One answer, and how sure one would be without it; `against` where it speaks against the named port."""
    told = {"said": said(found.feature, found.answer), "without": percent(found.without)}
    return say(Reason("report.against" if against else "report.rest", dict(told)))


def gender(found: Identification) -> str:
    """Gender of the named port by body and by contact."""
    return gender_words(found.half)


def unnamed() -> str:
    """That no port is named, where nothing was seen or measured."""
    return say(Reason("report.nothing"))


def port(found: Identification) -> str:
    """Order words of the port itself."""
    return order_words(found.half)


def fit(found: Identification | Brief) -> str:
    """Order words of the half that fits it, empty where none does."""
    return "" if found.fit is None else order_words(found.fit)


def order(found: Identification) -> str:
    """What to order for this port, and what the port itself is, in one text; a doubt is told first."""
    if found.fit is None:
        words = Reason("to_order.nothing", {"port": port(found)})
    else:
        words = Reason("to_order.fits", {"fit": fit(found), "port": port(found)})
    if found.high_voltage:
        return say(Reason("to_order.kilovolts", {"words": words}))
    if found.worn and found.settled:
        return say(Reason("to_order.worn", {"words": words}))
    if found.state is Settled.SETTLED:
        return say(Reason("to_order.settled", {"words": words}))
    if found.state is Settled.FITS_ALL:
        return say(Reason("to_order.fits_all", {"words": words}))
    if found.order_probability >= SURE:
        return say(Reason("to_order.barred", {"words": words}))
    return say(Reason("to_order.unsettled", {"sure": percent(found.order_probability), "words": words}))


def doubted(found: Identification | Brief) -> str:
    """What goes against the name: answers that clash, or that do not go with the port; empty where nothing does.

    Nobody is sent to look again at what may carry kilovolts.
    """
    if found.high_voltage:
        return ""
    told = excluding(found)
    if found.contradiction is not None:
        told.append(_clash(found, found.contradiction))
    elif set(found.misfits) - set(found.apart):
        told.append(against(found))
    return " ".join(told)


def left_to_gauge(found: Identification | Brief, features: Iterable[Feature]) -> bool:
    """Whether one of these goes into the face of what may be a precision port, so that nobody is sent to it again."""
    seen = found.answers.get(Feature.COUPLING)
    couplings = [seen.value] if isinstance(seen, Saw) else []
    known = looks.load()
    return bool(found.gauge_alone) and any(known.act(feature, couplings) is Act.TOUCH for feature in features)


def _clash(found: Identification | Brief, between: Contradiction) -> str:
    return clash(between, found.answers, left_to_gauge(found, [between.misread]))


def excluding(found: Identification | Brief) -> list[str]:
    """The readings of one size that exclude each other, a sentence for each size."""
    told = {feature: (said(feature, one), said(feature, other)) for feature, (one, other) in found.apart.items()}
    return [say(Reason("caution.apart", {"one": one, "other": other})) for one, other in told.values()]


def against(found: Identification | Brief) -> str:
    """What was seen or read that does not go with the named port, readings apart that exclude each other."""
    told = [said(feature, found.answers[feature]) for feature in found.misfits if feature not in found.apart]
    return say(Reason("caution.misfit", {"said": listed("clash.comma", told), "name": found.half.name}))


def settles(found: Identification | Brief) -> str:
    """The look that would settle the port, in words; or why nothing here does."""
    if found.high_voltage:
        return say(Reason("settles.high_voltage"))
    if found.apart:
        code = "settles.apart_gauged" if left_to_gauge(found, found.apart) else "settles.apart"
        return say(Reason(code, {"looks": listed("clash.comma", [one.value for one in found.apart])}))
    rival = found.rival
    by_gauge = None if rival is None or rival.tell.code != GAUGED else rival.tell
    if found.next is not None:
        code = "settles.again" if found.next.again else "settles.look"
        look: dict[str, str | Reason] = {"look": found.next.feature.value, "ask": found.next.ask}
        return say(Reason("settles.gauged_look", look | {"tell": by_gauge}) if by_gauge else Reason(code, look))
    if not found.centre_told:
        return say(Reason("settles.doubted" if found.centre_doubted else "settles.centre"))
    if found.misfits:
        return say(Reason("settles.other"))
    if rival is None:
        return say(Reason("settles.nothing"))
    return say(Reason("settles.gauged" if by_gauge else "settles.tell", {"tell": rival.tell}))


def alike(one: LookAlike) -> str:
    """A look-alike in one line: the look that tells it, and what it would come to with the part ordered."""
    by_gauge = one.tell.code == GAUGED
    tell = Reason("beware.gauged" if by_gauge else "beware.look", one.tell.values) if one.look else one.tell
    joined = Reason("beware.end")
    if one.verdict:
        joined = Reason("beware.joined", {"mate": one.mate, "verdict": called(Verdict(one.verdict))})
    return say(Reason("beware.alike", {"name": one.name, "tell": tell, "joined": joined}))


def beside(found: Identification) -> list[str]:
    """The cautions that the first screen does not tell in other words; what looks alike and has no sizes in one.

    That what is ordered damages a look-alike stands beside the look-alike there.
    """
    told = gauge_alone(found) + _worn(found) + photographs(found.answers)
    if found.settled:
        told += [say(Reason("caution.no_force"))] if found.harm else []
        told += [say(Reason("caution.reverse"))] if found.polarity == "reverse" else []
    told += [say(one) for one in found.joining if one.code != UNMEASURED]
    alike = unmeasured(found)
    return [*told, alike] if alike else told


def unmeasured(found: Identification | Brief) -> str:
    """What looks alike and has no known sizes, all in one caution; empty where nothing does."""
    names = names_unmeasured(found.joining, found.half)
    return say(Reason("caution.unmeasured", {"names": listed("caution.or", names)})) if names else ""


def names_unmeasured(told: Iterable[Reason], half: Half) -> list[str]:
    """Of these cautions, the names of what looks like a half and has no known sizes; what may carry high voltage is
    told before the joining."""
    named = [str(one.values["name"]) for one in told if one.code == UNMEASURED]
    return [name for name in named if not name.startswith(tuple(half.like_high_voltage))]


def worn(looks: list[Feature]) -> str:
    """What was read so far beyond its limits that the port is worn, as a caution; empty where nothing was."""
    return say(Reason("caution.worn", {"looks": ", ".join(looks)})) if looks else ""


def _worn(found: Identification | Brief) -> list[str]:
    return [worn(found.worn)] if found.worn else []


def on_it(found: Identification | Brief) -> list[str]:
    """What was said to be on the port, in sentences."""
    return [say(one) for one in found.on_it]


def gauge_alone(found: Identification | Brief) -> list[str]:
    """That nothing but its maker's own gauge touches or enters its face, where it may be a precision port."""
    return [say(one) for one in found.gauge_alone]


def warned(found: Brief) -> list[str]:
    """What a line of many has to say against its name and its joining: what is on it, doubts, wear where the look does
    not tell it, that its face is left to the gauge, what is not known to mate, kilovolts where what carries them looks
    alike, and what else looks alike and has no known sizes."""
    unsure = [say(one) for one in found.joining if one.code in (NOT_KNOWN, NOT_KNOWN_HARM)]
    alike = [] if found.high_voltage else [say(one) for one in found.joining if one.code == HIGH_VOLTAGE]
    worn = [] if found.settled else _worn(found)
    told = (*on_it(found), doubted(found), *worn, *gauge_alone(found), *unsure, *alike, unmeasured(found))
    return [one for one in told if one]


def photographs(answers: Mapping[Feature, Answer]) -> list[str]:
    """What of these answers was measured in a photograph, and that this is experimental; none where nothing was."""
    pictured = {f: answer for f, answer in answers.items() if isinstance(answer, Read) and answer.pictured}
    told = ", ".join(f"{feature}={as_typed(answer)}" for feature, answer in pictured.items())
    return [say(Reason("caution.pictured", {"looks": told}))] if told else []


def cautions(found: Identification, with_clash: bool = True) -> list[str]:
    """What to be careful about with the named port: what is on it, answers that clash or exclude each other, then a
    doubt, wear, photographs, harm.

    Nobody is sent to look again at what may carry kilovolts.
    """
    words = before_all(found, with_clash) + gauge_alone(found) + photographs(found.answers)
    harm = found.harm
    if harm:
        others = listed("caution.or", [one.id for one in harm])
        words.append(say(Reason("caution.harm", {"others": others, "mate": harm[0].mate})))
    if found.polarity == "reverse":
        words.append(say(Reason("caution.reverse")))
    return [*words, *(say(caution) for caution in found.joining)]


def before_all(found: Identification, with_clash: bool = True) -> list[str]:
    """What holds before anything is done with the port, wherever it is taken on to: what may be on it, answers that
    clash, that its name does not stand, that it is worn."""
    words = [settles(found)] if found.high_voltage else []
    words += on_it(found)
    if found.contradiction is not None and with_clash and not found.high_voltage:
        words.append(_clash(found, found.contradiction))
    if with_clash and not found.high_voltage:
        words += excluding(found)
    if not found.settled and not found.high_voltage:
        sure = percent(found.order_probability)
        words.append(say(Reason("caution.unsure", {"name": found.name, "sure": sure})))
    return words + _worn(found)


def how(found: Question) -> str:
    """How a question of the guide is answered: where it goes into the face of a precision port, by its marking."""
    if not found.gauged:
        return found.how
    code = "guide.gauged_some" if found.measured else "guide.gauged"
    return say(Reason(code, {"how": found.how, "families": listed("clash.comma", found.gauged)}))


def way(found: Way) -> str:
    """One answer of the guide to its question."""
    if found.value == NONE:
        return say(Reason("guide.none"))
    known, feature = looks.load(), found.feature
    if feature in LIKENED:
        thing = known.things[found.value]
        return say(Reason("guide.width", {"thing": thing.name, "mm": thing.d.nominal}))
    if feature in SEEN:
        return known.table.seen[feature].values[found.value]
    unit = Reason("guide.threads" if feature is Feature.THREADS else "guide.mm")
    bounds: dict[str, float | str | Reason | list[Reason]] = {"low": found.low, "high": found.high, "unit": unit}
    if found.low == 0:
        return say(Reason("guide.any" if math.isinf(found.high) else "guide.under", bounds))
    return say(Reason("guide.over" if math.isinf(found.high) else "guide.range", bounds))
