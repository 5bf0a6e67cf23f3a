"""Thread limits against published rows, outside and inside, inch and metric."""

import math

import pytest

from coaxtell.models.half import Thread
from coaxtell.models.measure import Grade, Measure
from coaxtell.models.threads import depth, limits
from tests.halves import all_halves


def thread(major: float, tolerance: str, tpi: float | None = None, pitch: float | None = None) -> Thread:
    def hard(value: float, unit: str = "mm") -> Measure:
        if unit == "mm":
            return Measure(grade=Grade.HIGH, source=["x"], mm=value)
        return Measure(grade=Grade.HIGH, source=["x"], value=value, unit=unit)

    return Thread(
        size="test",
        major=hard(major),
        tolerance=tolerance,  # type: ignore[arg-type]
        tpi=None if tpi is None else hard(tpi, "per inch"),
        pitch=None if pitch is None else hard(pitch),
    )


# Rows of ASME B1.1 as printed, inch, to four places: (basic major, tpi, class, {limit: printed}).
# 1/4-36 UNS-2A, 7/16-28, 3/8-32, 3/8-24: published class 2A rows and pitch diameters, project's fact sheet 0.4.
# 1/2-28 UNEF: worked example of a machinery handbook's thread chapter (2A major 0.4989, 2B minor 0.461).
# 5/8-24 UNEF: row of the ASME B1.1 limits table as reprinted (2A 0.6238/0.6166, pitch 0.5927; 2B 0.580/0.590,
# pitch from 0.5979).
# Largest pitch diameters of the 2B rows of 1/4-32, 3/8-32 and 1/2-28 UNEF: from memory of a machinery handbook's table.
INCH_ROWS = [
    (0.25, 36, "2A", {"major_max": 0.2491, "major_min": 0.2436, "pitch_max": 0.2311, "pitch_min": 0.2280}),
    (0.4375, 28, "2A", {"pitch_max": 0.4132, "pitch_min": 0.4096}),
    (0.375, 32, "2A", {"pitch_max": 0.3537, "pitch_min": 0.3503}),
    (0.375, 24, "2A", {"pitch_max": 0.3468, "pitch_min": 0.3430}),
    (0.5, 28, "2A", {"major_max": 0.4989, "minor_max": 0.4602}),
    (0.5, 28, "2B", {"minor_min": 0.461, "pitch_max": 0.4816}),
    (0.25, 32, "2B", {"pitch_max": 0.2339}),
    (0.375, 32, "2B", {"pitch_max": 0.3591}),
    (0.625, 24, "2A", {"major_max": 0.6238, "major_min": 0.6166, "pitch_min": 0.5927}),
    (0.625, 24, "2B", {"minor_min": 0.580, "minor_max": 0.590, "pitch_min": 0.5979, "major_min": 0.6250}),
]


@pytest.mark.outside(
    "Limits of inch threads, outside and inside",
    "ASME B1.1 rows as printed and a handbook's worked example; three pitch diameters from memory of a handbook",
    "half of the last printed place + 0.00005 in",
)
@pytest.mark.parametrize(("major", "tpi", "tolerance", "printed"), INCH_ROWS)
def test_inch_rows(major: float, tpi: float, tolerance: str, printed: dict[str, float]) -> None:
    found = limits(thread(25.4 * major, tolerance, tpi=tpi))
    for name, value in printed.items():
        places = 3 if len(f"{value:g}") <= 5 else 4
        off = 0.5 * 10**-places + 0.00005
        assert getattr(found, name) / 25.4 == pytest.approx(value, abs=off), name


# ISO 965: 6g majors and pitch diameters as in the open table of the threadlib project (project's fact sheet 0.4);
# M24x1.5-6H from memory of ISO 965-2 (minor 22.376/22.676, pitch 23.026/23.226).
METRIC_ROWS = [
    (7.0, 0.75, "6g", {"major_max": 6.978, "major_min": 6.838, "pitch_max": 6.491, "pitch_min": 6.391}),
    (4.0, 0.7, "6g", {"major_max": 3.978, "major_min": 3.838, "pitch_max": 3.523, "pitch_min": 3.433}),
    (29.0, 1.5, "6g", {"major_max": 28.968, "major_min": 28.732}),
    (20.0, 1.0, "6g", {"major_max": 19.974, "major_min": 19.794, "pitch_max": 19.324, "pitch_min": 19.206}),
    (24.0, 1.5, "6H", {"minor_min": 22.376, "minor_max": 22.676, "pitch_min": 23.026, "pitch_max": 23.226}),
]


@pytest.mark.outside(
    "Limits of metric threads",
    "ISO 965 as in an open thread table; M24x1.5-6H from memory",
    "0.0016 mm",
)
@pytest.mark.parametrize(("major", "pitch", "tolerance", "printed"), METRIC_ROWS)
def test_metric_rows(major: float, pitch: float, tolerance: str, printed: dict[str, float]) -> None:
    found = limits(thread(major, tolerance, pitch=pitch))
    for name, value in printed.items():
        assert getattr(found, name) == pytest.approx(value, abs=0.0016), name


@pytest.mark.outside(
    "Depth of the basic thread form",
    "ISO 68-1, 0.541266 P",
    "0.000001 mm",
)
def test_basic_form() -> None:
    """ISO 68-1: H = 0.866025 P, thread overlap 5/8 H = 0.541266 P."""
    assert depth(1.0) == pytest.approx(0.541266, abs=1e-6)
    assert depth(1.0) == pytest.approx(5 / 8 * math.sqrt(3) / 2)


@pytest.mark.outside(
    "Every jack's thread clears its nut's, crest, flank and root",
    "ASME B1.1 and ISO 965-1 allowances",
    "none: strictly smaller",
)
def test_every_jack_thread_enters_its_own_nut() -> None:
    """The class 2A and 6g allowances keep the outside thread below the inside one (ASME B1.1, ISO 965-1)."""
    pairs = 0
    for half in all_halves().values():
        if half.gender != "jack" or half.thread is None:
            continue
        plug = all_halves()[half.id.removesuffix("jack") + "plug"]
        assert plug.nut is not None
        assert plug.nut.thread is not None
        outer, inner = limits(half.thread), limits(plug.nut.thread)
        assert outer.major_max < inner.major_min
        assert outer.pitch_max < inner.pitch_min
        assert outer.minor_max < inner.minor_min
        pairs += 1
    assert pairs >= 12
