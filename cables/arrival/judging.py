"""Whether a delivered cable is the one that was ordered, as far as its sweep can tell."""

from __future__ import annotations

from enum import StrEnum

import msgspec
import numpy as np

from coaxtell.cables.arrival.reading import Echo, Ordered, Reading, read
from coaxtell.cables.arrival.sweep import FarEnd, Real, Sweep
from coaxtell.cables.loss import assembly_db, bench_share, most_db
from coaxtell.cables.mismatch import interaction_db, mismatch_loss_db, reflection_of
from coaxtell.cables.reasons import because, chained
from coaxtell.cables.tables import CableTables
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import RefusedError

_RIPPLE_DB = 0.1
"""What ripple and the connectors' rise with frequency may do to a loss (assumed) [dB]."""
_JOINT_DB = 0.05
"""How far the two joints may be from their usual loss, two sigma (assumed) [dB]."""
_GROWS = 1.5
"""How much larger an echo may be towards the top of the band than its mean over it (assumed)."""
_MOST_ECHO = 0.9
"""No echo is taken to send back more of the amplitude than this."""
_BY_LOSS = ("arrival.loss_high", "arrival.loss_low")
"""What is not said of the cable where the loss is lost at its joints."""
_TELLABLE = 2.0
"""A class is judged only where its difference exceeds so many times the stated plus-minus."""


class Verdict(StrEnum):
    """What to do with a delivery."""

    AS_ORDERED = "as-ordered"
    LOOK_AGAIN = "look-again"
    NOT_AS_ORDERED = "not-as-ordered"


class Loss(msgspec.Struct, frozen=True):
    """The loss at the run's frequency [dB]: measured, expected, and how far they may be apart."""

    measured_db: float
    expected_db: float
    plus_minus_db: float

    @property
    def most_db(self) -> float:
        """The most that passes, as a plan's list for the arrival has it [dB]."""
        return most_db(self.expected_db, self.plus_minus_db)


class Arrival(msgspec.Struct, frozen=True):
    """A delivery judged: verdict with reasons, what was read and expected, classes it cannot be told from."""

    ordered: Ordered
    reading: Reading
    verdict: Verdict
    reasons: tuple[Reason, ...]
    """What speaks against it, the weightiest first; empty where it is as ordered."""
    notes: tuple[Reason, ...]
    """What the sweep cannot tell."""
    loss: Loss | None
    match_db: float
    """The worst return loss in the run's band [dB]."""
    length_m: float | None
    named_classes: tuple[str, ...]
    """The classes it seems to be of, the likeliest first, where that is another and can be told."""
    not_told_from: tuple[str, ...]
    """Classes of the same impedance that this sweep cannot tell from the ordered one."""
    expected_db: Real
    """Expected loss at each of the reading's frequencies [dB]."""
    plus_minus_db: Real


class _Fit(msgspec.Struct, frozen=True):
    """How many times the ordered cable's expected loss was measured, and the joints' loss [dB].

    `share` is how far a class itself may be off, `error` what the measurement adds, in the same times; `echoes_db` is
    what echoes over their limits may lose beside all that.
    """

    times: float
    share: float
    error: float
    joints_db: float
    echoes_db: float
    excess_db: float
    """Lost beside what was ordered, over the band's middle [dB]."""
    alike_db: float
    """Lost at all frequencies alike, by the sweep alone, without knowing what joints lose [dB]."""
    unsure_db: float
    """How far off that may be [dB]: a narrow band cannot tell it from the cable's own loss."""

    def flat_db(self, tables: CableTables) -> float:
        """How much more is lost at all frequencies alike than two joints and the reading explain [dB]; else 0."""
        most = 2 * tables.joints.joint_loss.high + tables.arrival.analyser.nominal
        return max(0.0, self.alike_db - most - self.unsure_db - self.echoes_db)

    def plus_minus(self, times: float = 1.0) -> float:
        """How far off so many times the loss may be measured."""
        return self.share * times + self.error

    def misfit(self, times: float) -> float:
        """How far the measured loss lies from so many times the ordered, in plus-minus."""
        return abs(self.times - times) / self.plus_minus(times)


def judge(sweep: Sweep, ordered: Ordered, band_mhz: tuple[float, float], tables: CableTables) -> Arrival:
    """A sweep held against what was ordered, in the band of its run [MHz].

    Raises InputError where the sweep leaves out the run's frequency, or has too few points for its length.
    """
    low, high = sweep.hz[0] / 1e6, sweep.hz[-1] / 1e6
    if not low <= ordered.mhz <= high:
        raise RefusedError("cables.sweep_off", file=sweep.file, low=low, high=high, mhz=ordered.mhz)
    reading = read(sweep, ordered, tables)
    limits = tables.arrival
    bad = _bad(reading, tables)
    bad_db = _lost_by(bad)
    against: list[tuple[Verdict, Reason]] = []
    notes: list[Reason] = []
    fit = None if reading.loss_db is None else _fit(reading, ordered, tables, bad_db)
    ratio = None if reading.slope_m is None else reading.slope_m / ordered.length_m
    off = _off(ordered, tables)
    named: tuple[str, ...] = ()
    not_told: tuple[str, ...] = ()
    loss: Loss | None = None
    if fit is None or ratio is None:
        notes.append(Reason("arrival.loss_not_measured"))
    else:
        loss = _loss_at(fit, ordered, tables)
        not_told = _not_told(reading, ordered, fit, off, tables)
        found, named = _identity(reading, ordered, fit, ratio, off, not_told, tables)
        flat_db = fit.flat_db(tables)
        if flat_db > 0 and not named:
            # what is lost at a joint says nothing of the cable between
            found = [one for one in found if one[1].code not in _BY_LOSS]
            found.append((Verdict.LOOK_AGAIN, because("arrival.flat", flat_db=fit.alike_db)))
        against += found
        if fit.echoes_db:
            notes.append(because("arrival.widened", echoes_db=fit.echoes_db))
        if not_told:
            notes.append(because("arrival.not_told", classes=", ".join(not_told)))
        velocity, (shorter, longer) = ordered.cable.velocity, ordered.velocity_off
        if velocity is not None and velocity.high > velocity.low:
            shares = {"shorter": 100 * shorter, "longer": 100 * longer}
            figures = {"low": velocity.low, "high": velocity.high, **shares}
            notes.append(because("arrival.velocity", cable=ordered.cable.name, **figures))
        if reading.time_m is not None and reading.slope_m is not None:
            apart = abs(reading.time_m - reading.slope_m)
            if apart > max(off * ordered.length_m, 2 * reading.resolution_m):
                told = because("arrival.ways_differ", slope_m=reading.slope_m, time_m=reading.time_m)
                against.append((Verdict.LOOK_AGAIN, told))
    against += [(Verdict.LOOK_AGAIN, r) for r in _echoes(reading, bad)]
    match_db = _worst_match(reading, band_mhz)
    if sweep.far in (FarEnd.OPEN, FarEnd.SHORT):
        notes.append(Reason("arrival.match_hidden"))
    elif match_db < limits.band_match.nominal:
        told = because("arrival.match", match_db=match_db, least_db=limits.band_match.nominal)
        against.append((Verdict.LOOK_AGAIN, told))
    if reading.near is None:
        notes.append(because("arrival.near_hidden", resolution_m=reading.resolution_m))
    if reading.covered_m:
        notes.append(because("arrival.far_hidden", covered_m=reading.covered_m))
    if reading.inside is None:
        notes.append(because("arrival.inside_hidden", resolution_m=reading.resolution_m))
    if not against and loss is not None and abs(loss.measured_db - loss.expected_db) > loss.plus_minus_db:
        levels = {"measured_db": loss.measured_db, "expected_db": loss.expected_db}
        told = because("arrival.loss_off", mhz=ordered.mhz, plus_minus_db=loss.plus_minus_db, **levels)
        against.append((Verdict.LOOK_AGAIN, told))
    against.sort(key=lambda one: one[0] is not Verdict.NOT_AS_ORDERED)
    expected, plus_minus = _expected(reading.hz, ordered, tables, bad_db)
    return Arrival(
        ordered=ordered,
        reading=reading,
        verdict=against[0][0] if against else Verdict.AS_ORDERED,
        reasons=tuple(reason for _, reason in against),
        notes=tuple(notes),
        loss=loss,
        match_db=match_db,
        length_m=reading.slope_m,
        named_classes=named,
        not_told_from=not_told,
        expected_db=expected,
        plus_minus_db=plus_minus,
    )


def _expected(hz: Real, ordered: Ordered, tables: CableTables, echoes_db: float) -> tuple[Real, Real]:
    """Expected loss of the whole assembly at each frequency and its plus-minus [dB], echoes over their limits in it."""
    expected, plus_minus = assembly_db(ordered.loss_db(hz, tables), ordered.cable, tables)
    return expected, plus_minus + echoes_db


def _loss_at(fit: _Fit, ordered: Ordered, tables: CableTables) -> Loss:
    hz = np.array([ordered.mhz * 1e6])
    expected, plus_minus = _expected(hz, ordered, tables, fit.echoes_db)
    measured = fit.times * ordered.loss_db(hz, tables) + fit.joints_db
    return Loss(float(measured[0]), float(expected[0]), float(plus_minus[0]))


def _fit(reading: Reading, ordered: Ordered, tables: CableTables, echoes_db: float) -> _Fit:
    """The measured loss as so many times the expected loss of the cable, and the joints' own.

    The joints are known beforehand within their range, which keeps a narrow band from confounding the two; ripple has
    as many independent values as it has turns in the band.
    """
    assert reading.loss_db is not None
    cable, joint = ordered.loss_db(reading.hz, tables), tables.joints.joint_loss
    turns = max(1.0, 2 * float(reading.hz[-1] - reading.hz[0]) * ordered.delay_s)
    weight = min(1.0, turns / len(cable)) / _RIPPLE_DB**2
    usual, known = 2 * joint.nominal, 1 / _JOINT_DB**2
    square = np.array(
        [[weight * (cable @ cable), weight * cable.sum()], [weight * cable.sum(), weight * len(cable) + known]]
    )
    right = np.array([weight * (cable @ reading.loss_db), weight * reading.loss_db.sum() + known * usual])
    covariance = np.linalg.inv(square)
    times, joints = covariance @ right
    sway = tables.arrival.analyser.nominal / max(float(cable.mean()), 1e-3)
    error = 2 * float(np.sqrt(covariance[0, 0])) + sway + echoes_db / max(float(cable.mean()), 1e-3)
    steep = max(len(cable) * float(cable @ cable) - float(cable.sum()) ** 2, 1e-12)
    unsure = 2 * float(np.sqrt(float(cable @ cable) / (weight * steep)))
    moment = float(cable @ cable) * float(reading.loss_db.sum()) - float(cable.sum()) * float(cable @ reading.loss_db)
    return _Fit(
        times=float(times),
        share=bench_share(ordered.cable, tables),
        error=error,
        joints_db=float(joints),
        echoes_db=echoes_db,
        excess_db=(float(times) - 1) * float(cable.mean()),
        alike_db=moment / steep,
        unsure_db=unsure,
    )


def _off(ordered: Ordered, tables: CableTables) -> float:
    """How far the length may be off, as a share of it."""
    limits = tables.arrival
    return max(limits.length_share.nominal / 100, limits.length_floor.nominal / 100 / ordered.length_m)


def _length_misfit(ratio: float, off: float, ordered: Ordered) -> float:
    """How far a length is off, in what it may be off; `ratio` is it over the ordered one."""
    shorter, longer = ordered.velocity_off
    return (ratio - 1) / (off + longer) if ratio > 1 else (1 - ratio) / (off + shorter)


def _like(reading: Reading, ordered: Ordered, name: str, tables: CableTables) -> tuple[Ordered, float]:
    """The same order in another class, and its delay over that of the ordered one."""
    other = Ordered(tables.classes[name], ordered.length_m, ordered.mhz, ordered.celsius)
    return other, other.delay_s / ordered.delay_s


def _others(ordered: Ordered, tables: CableTables) -> list[str]:
    ohm = ordered.cable.impedance.nominal
    return [
        c.name
        for c in tables.classes.values()
        if c.loss_known and c.velocity is not None and c.name != ordered.cable.name
        and abs(c.impedance.nominal - ohm) < 1
    ]  # fmt: skip


def _not_told(reading: Reading, ordered: Ordered, fit: _Fit, off: float, tables: CableTables) -> tuple[str, ...]:
    """The classes whose loss and delay differ from the ordered one's by less than can be told."""
    found = []
    own = float(ordered.loss_db(reading.hz, tables).mean())
    for name in _others(ordered, tables):
        other, delay = _like(reading, ordered, name, tables)
        times = float(other.loss_db(reading.hz, tables).mean()) / own
        spread = max(fit.plus_minus(), fit.plus_minus(times), bench_share(other.cable, tables))
        late = _TELLABLE * off + max(ordered.velocity_off) + max(other.velocity_off)
        if abs(times - 1) <= _TELLABLE * spread and abs(delay - 1) <= late:
            found.append(name)
    return tuple(found)


def _identity(
    reading: Reading, ordered: Ordered, fit: _Fit, ratio: float, off: float, not_told: tuple[str, ...],
    tables: CableTables,
) -> tuple[list[tuple[Verdict, Reason]], tuple[str, ...]]:  # fmt: skip
    """What loss and length say together: as ordered, cut, too long, another class, or something to look at."""
    right_length = _length_misfit(ratio, off, ordered) <= 1
    if right_length and fit.misfit(1.0) <= 1:
        return [], ()
    length = {"length_m": ratio * ordered.length_m, "ordered_m": ordered.length_m}
    if not right_length and fit.misfit(ratio) <= 1:
        code = "arrival.short" if ratio < 1 else "arrival.long"
        return [(Verdict.NOT_AS_ORDERED, because(code, share=100 * abs(ratio - 1), **length))], ()
    own = float(ordered.loss_db(reading.hz, tables).mean())
    fitting = []
    for name in _others(ordered, tables):
        other, delay = _like(reading, ordered, name, tables)
        times = float(other.loss_db(reading.hz, tables).mean()) / own
        misfit = max(fit.misfit(times), _length_misfit(ratio / delay, off, other))
        # a loss that does not grow as this class's would is lost elsewhere
        flat = _fit(reading, other, tables, fit.echoes_db).flat_db(tables)
        if misfit <= 1 and not flat and name not in not_told:
            fitting.append((misfit, name))
    more = {"times": fit.times, "plus_minus": 100 * fit.plus_minus()}
    if fitting:
        named = tuple(name for _, name in sorted(fitting))
        classes = chained("list.either", named)
        if right_length and 0 < fit.excess_db < fit.unsure_db:
            told = because(
                "arrival.class_or_joint", classes=classes, ordered=ordered.cable.name, excess_db=fit.excess_db
            )
            return [(Verdict.LOOK_AGAIN, told)], named
        told = because("arrival.class", classes=classes, ordered=ordered.cable.name, **more)
        return [(Verdict.NOT_AS_ORDERED, told)], named
    if right_length:
        code = "arrival.loss_high" if fit.times > 1 else "arrival.loss_low"
        return [(Verdict.LOOK_AGAIN, because(code, **more))], ()
    return [(Verdict.NOT_AS_ORDERED, because("arrival.neither", **length, **more))], ()


class _Bad(msgspec.Struct, frozen=True):
    """An echo over its limit, with the least return loss [dB] there."""

    code: str
    echo: Echo
    least_db: float


def _bad(reading: Reading, tables: CableTables) -> list[_Bad]:
    """The ends and the inside, each against its limit, the worst first."""
    limits = tables.arrival
    ends = [("arrival.near", reading.near, limits.end_match), ("arrival.far", reading.far, limits.end_match)]
    places = [*ends, ("arrival.inside", reading.inside, limits.inside_match)]
    bad = [
        _Bad(code, echo, least.nominal)
        for code, echo, least in places
        if echo is not None and echo.return_loss_db < least.nominal
    ]
    return sorted(bad, key=lambda one: one.echo.return_loss_db - one.least_db)


def _lost_by(bad: list[_Bad]) -> float:
    """What echoes over their limits may lose [dB]: what each sends back, and how two of them may add up.

    An echo is read as its mean over the band, and what it sends back grows beyond that towards the band's top.
    """
    sizes = [min(_MOST_ECHO, _GROWS * reflection_of(one.echo.return_loss_db)) for one in bad]
    pairs = [interaction_db(a, b) for number, a in enumerate(sizes) for b in sizes[:number]]
    return sum(map(mismatch_loss_db, sizes)) + sum(pairs)


def _echoes(reading: Reading, bad: list[_Bad]) -> list[Reason]:
    """What is to be said of echoes over their limits; where the band cannot tell their place, of the worst alone."""
    if reading.blind and bad:
        worst = min(bad, key=lambda one: one.echo.return_loss_db)
        values = {"return_loss_db": worst.echo.return_loss_db, "least_db": worst.least_db}
        return [because("arrival.somewhere", **values)]
    return [
        because(one.code, return_loss_db=one.echo.return_loss_db, least_db=one.least_db, place=place_of(one.echo))
        for one in bad
    ]


def place_of(echo: Echo) -> Reason:
    """Where an echo comes from, told from the end that lies nearer."""
    values = {"at_m": echo.at_m, "plus_minus_m": echo.plus_minus_m}
    if echo.from_far_m is None or echo.from_far_m > echo.at_m:
        return because("arrival.place", **values)
    return because("arrival.place_far", from_far_m=echo.from_far_m, **values)


def _worst_match(reading: Reading, band_mhz: tuple[float, float]) -> float:
    """The worst return loss in a band [MHz], as far as the sweep covers it [dB]."""
    mhz = reading.match_hz / 1e6
    inside = (mhz >= band_mhz[0]) & (mhz <= band_mhz[1])
    if not inside.any():
        inside = np.abs(mhz - sum(band_mhz) / 2) <= np.abs(mhz - sum(band_mhz) / 2).min()
    return max(0.0, float(reading.match_db[inside].min()))
