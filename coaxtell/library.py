"""What other programs call beside the engines' own functions; `from coaxtell import ...` gives both.

Settled since 0.2.0: what is to go or to change its shape is announced in the changelog a version before. A half, a
mating, a belief never change once made. Sizes are in mm, frequencies in MHz, levels in dBm, losses in dB, times in s,
wherever a name says no other.
"""

from __future__ import annotations

from numbers import Real

from coaxtell.cables import plan as plans
from coaxtell.cables import ranking, site, units
from coaxtell.cables import tables as cable_tables
from coaxtell.cables.classes import TABLE_TEMPERATURE_C
from coaxtell.cables.ends import Matings
from coaxtell.cables.plan import Plan
from coaxtell.cables.ranking import Choice, Preference
from coaxtell.cables.rows import NamedPort
from coaxtell.cables.run import MOST_CHANNELS, Run
from coaxtell.cables.words import CABLES
from coaxtell.identifier import answers, instruments
from coaxtell.identifier import words as identifier_words
from coaxtell.identifier.answers import NotSure, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.identification import Identification, identify, with_unmeasured
from coaxtell.identifier.question import Next, next_question
from coaxtell.models import quantity
from coaxtell.models import tables as half_tables
from coaxtell.models.catalogue import ENGLISH, Reason
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.surely import to_order
from coaxtell.models.tables import Tables


def half(half_id: str, tables: Tables | None = None) -> Half:
    """The half of that id, such as `rp-sma-jack`, from the tables given, else those that ship with coaxtell.

    Raises InputError with the nearest ids where there is none.
    """
    return (tables or half_tables.load()).half(half_id)


def say(reason: Reason, language: str = ENGLISH) -> str:
    """The sentence of a reason that a mating, an identification or a cable run gave, in English where it lacks texts.

    Raises KeyError where no engine gives such a reason.
    """
    catalogue = CABLES if reason.code in CABLES.texts(language) else identifier_words.TEXTS
    return catalogue.say(reason, language)


class Belief:
    """What to think of a port after some answers: a probability for every half of the tables.

    A belief does not change: each answer makes a new one, and the order of answers leaves no trace. `setting` is where
    the port was met (`uhf-reader`, `wifi`, `cellular`, `video`, `bench`, `any`), `instrument` what is at hand
    (`calliper`, `ruler`, or how far a reading may be off, such as `+-0.1`).

    Raises InputError where setting or instrument is not known.
    """

    def __init__(self, tables: Tables | None = None, setting: str = "any", instrument: str = "calliper") -> None:
        self._tables = tables or half_tables.load()
        self._shortlist = Shortlist(list(self._tables.halves.values()), setting)
        instruments.plus_minus(instrument, self._shortlist.looks)
        self._state = State(setting, instrument)

    def saw(self, feature: str, value: str) -> Belief:
        """The belief after one saw this, such as `coupling`, `thread-outside`.

        Raises InputError, with what there is, where the feature or its value is not known.
        """
        named = answers.feature_named(feature)
        return self._with(self._state.tell(named, answers.saw(named, value, self._shortlist.looks)))

    def measured(self, feature: str, size: str) -> Belief:
        """The belief after this reading, as one types it: `coupling-diameter`, `6.3`; inches too, `1/4in`.

        One by photograph never takes the place of a finer one: the belief is then as before, until that is taken back.
        Where the two exclude each other both count, and neither settles the port.

        Raises InputError where the feature is not known or the size cannot be read.
        """
        named = answers.feature_named(feature)
        read = answers.measured(named, size, self._state.instrument, self._shortlist.looks)
        return self._with(self._state.tell(named, read))

    def cannot_tell(self, feature: str) -> Belief:
        """The belief after one looked and could not tell: as before, and not asked again.

        Raises InputError where the feature is not known.
        """
        return self._with(self._state.tell(answers.feature_named(feature), NotSure()))

    def without(self, feature: str) -> Belief:
        """The belief with the answer to this feature taken back.

        Raises InputError where the feature is not known.
        """
        return self._with(self._state.withdraw(answers.feature_named(feature)))

    def probabilities(self) -> dict[str, float]:
        """Probability of each half by id, likeliest first; they sum to one."""
        found = self._shortlist.belief(self._state.answers, self._state.again)
        by_id = zip(self._shortlist.ids, map(float, found), strict=True)
        return dict(sorted(by_id, key=lambda pair: (-pair[1], pair[0])))

    def question(self) -> Next | None:
        """The next look: feature, how to take it, why, and how long it takes [s]; none where it is time to stop."""
        return next_question(self._shortlist, self._state)

    def identification(self) -> Identification:
        """The port named: how sure, what that rests on, what mates, what looks alike and harms, the order words."""
        return with_unmeasured(identify(self._shortlist, self._state), self._tables)

    def _with(self, state: State) -> Belief:
        other = object.__new__(Belief)
        other._tables, other._shortlist, other._state = self._tables, self._shortlist, state
        return other


def cable_run(
    reader: Half,
    antenna: Half,
    length_m: float,
    region: str,
    *,
    gain: str | None = None,
    reader_power: str | None = None,
    want_dbm: float | None = None,
    budget_db: float | None = None,
    frequency_mhz: float | None = None,
    channels: int = 50,
    temperature_c: float = TABLE_TEMPERATURE_C,
    bend_mm: float | None = None,
    outdoor: bool = False,
    riser: bool = False,
    prefer: str = "thinnest",
    tables: Tables | None = None,
) -> Choice:
    """Every cable class held against one run, best first, each with its loss [dB], levels [dBm], ends and reasons.

    `length_m` is the run's length [m], `region` one of `us`, `eu-lower`, `eu-upper`; `gain` is the antenna's with its
    unit (`8.5dBic`), without it no limit is judged. `reader_power` are the reader's settings, such as
    `10..31.5/0.25`; `want_dbm` must reach the antenna, or at most `budget_db` be lost; `frequency_mhz` is the region's
    usual one where none is given; `bend_mm` is the route's tightest radius. `prefer` puts first `thinnest`,
    `least-loss`, `tightest-bend`, `fewest-parts` or `lowest-price` of those that serve. `Choice.best` is the first
    that can be built and keeps the limits, or none.

    Raises InputError where the region, the gain or the preference is not known, or a number is none that a run has: a
    length or bend outside 1 mm to 10 km, a temperature outside -60 to 150 C, a level outside -60 to 90 dBm, a budget
    outside 0 to 100 dB, or one that is not finite.
    """
    found = cable_tables.load()
    where = found.region(region)
    if prefer not in list(Preference):
        raise InputError(f"prefer {prefer!r} is not known; choose one of {', '.join(Preference)}.")
    # the reader of quantities refuses what no run has: no length at all, one round the world, a cable in the oven
    run = Run(
        reader=reader,
        antenna=antenna,
        length_m=units.length_m(f"{_number(length_m, 'length_m')}m"),
        region=where,
        frequency_mhz=where.usual.nominal
        if frequency_mhz is None
        else units.frequency_mhz(f"{_number(frequency_mhz, 'frequency_mhz')}MHz"),
        channels=quantity.whole(str(channels), "channels", 1, MOST_CHANNELS),
        power=None if reader_power is None else units.power_range(reader_power),
        gain=None if gain is None else units.gain(gain),
        temperature_c=units.temperature_c(f"{_number(temperature_c, 'temperature_c')}C"),
        want_dbm=None if want_dbm is None else units.power_dbm(f"{_number(want_dbm, 'want_dbm')}dBm", "want_dbm"),
        budget_db=None if budget_db is None else units.loss_db(f"{_number(budget_db, 'budget_db')}dB"),
        bend_mm=None if bend_mm is None else 1000 * units.length_m(f"{_number(bend_mm, 'bend_mm')}mm", "bend"),
        outdoor=outdoor,
        riser=riser,
    )
    return ranking.choose(run, Matings((tables or half_tables.load()).halves, to_order), found, Preference(prefer))


def _number(value: object, name: str) -> str:
    """The number as the grammar of quantities reads it, without an exponent."""
    if isinstance(value, bool) or not isinstance(value, Real):
        raise InputError(f"{name} takes a number, not {value!r}; its unit stands in its name.")
    return f"{float(value):.9f}".rstrip("0").rstrip(".")


def plan(site_text: str, tables: Tables | None = None) -> Plan:
    """A whole site's cables: an assembly for each antenna, order list, labels, checks on arrival and port list.

    `site_text` is a site file in TOML, as `coaxtell plan --help` prints one; its ports are ids of halves. What was
    wrong in single rows stands in `Plan.site.problems` and leaves the others whole.

    Raises InputError where no antenna can be read, or `[site]` cannot be used.
    """
    halves, found = tables or half_tables.load(), cable_tables.load()
    read = site.parse(site_text, "site", found, lambda name: NamedPort(halves.half(name)))
    return plans.plan(read, Matings(halves.halves, to_order), found)
