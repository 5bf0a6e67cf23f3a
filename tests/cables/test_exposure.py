"""Distances to keep from the antenna against the figures of the facts sheet on radio rules, section 6."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.cables import exposure, units
from coaxtell.cables.words import say
from tests.cables.kit import cable_tables, choice, on_class, run

REGIONS = cable_tables().regions


@pytest.mark.parametrize(
    ("eirp_w", "mhz", "fcc_m", "icnirp_m"),
    [
        (4.00, 915, 0.23, 0.26),  # US, 4 W EIRP
        (3.28, 867, 0.21, 0.25),  # Europe, 2 W e.r.p.
        (6.56, 918, 0.29, 0.34),  # Europe, 4 W e.r.p.
    ],
)
def test_distances(eirp_w: float, mhz: float, fcc_m: float, icnirp_m: float) -> None:
    for key, metres in (("us", fcc_m), ("eu-lower", icnirp_m)):
        limit = exposure.density_limit(REGIONS[key].exposure.nominal, mhz)
        assert exposure.distance_m(eirp_w, limit) == pytest.approx(metres, abs=0.005)


@pytest.mark.outside(
    "Power density limits",
    "47 CFR 1.1310 Table 1, ICNIRP 2020 Table 5",
    "the printed places",
)
def test_density_limits() -> None:
    # 47 CFR 1.1310 Table 1 (B): f/1500 mW/cm2, at 902, 915, 928 MHz 0.601, 0.610, 0.619 (times 10 in W/m2).
    for mhz, limit in ((902, 6.01), (915, 6.10), (928, 6.19)):
        assert exposure.density_limit(REGIONS["us"].exposure.nominal, mhz) == pytest.approx(limit, abs=0.01)
    # ICNIRP 2020 Table 5: f/200 W/m2, at 868 and 915 MHz 4.34 and 4.58; occupational f/40, five times.
    for mhz, limit in ((868, 4.34), (915, 4.58)):
        assert exposure.density_limit(REGIONS["eu-upper"].exposure.nominal, mhz) == pytest.approx(limit, abs=0.01)
    assert REGIONS["eu-lower"].exposure.nominal / REGIONS["eu-lower"].occupational.nominal == 5
    # Table 1 (A): f/300, five times the general limit.
    assert REGIONS["us"].exposure.nominal / REGIONS["us"].occupational.nominal == 5


def test_far_field_start() -> None:
    # 2 x 0.25^2 m2 / (299.792458 / 915 m) = 0.125 / 0.32764 = 0.3815 m.
    assert exposure.far_field_start_m(0.25, 915) == pytest.approx(0.3815, abs=1e-4)


def test_closer_than_the_formula_holds() -> None:
    words = "closer than the formula holds, keep at least the far-field start"
    large = on_class(run(antenna_size_m=0.25, power_dbm=27.5), "240").exposure
    assert not large.formula_holds
    assert say(large.advice).startswith(f"{words}: 0.38 m")
    unknown = on_class(run(), "240").exposure
    assert not unknown.formula_holds
    assert say(unknown.advice).startswith(words)
    # 10 cm: far field from 2 x 0.01 / 0.3276 = 0.061 m, so the distance itself is told.
    small = on_class(run(antenna_size_m=0.10), "240").exposure
    assert small.formula_holds
    assert say(small.advice).startswith("keep 0.17 m")
    assert "within one wavelength" in say(small.advice)


@pytest.mark.outside(
    "Reflection from the ground",
    "FCC OET 65, recalled",
    "rounding alone",
)
def test_ground_reflection_is_a_second_larger_figure() -> None:
    # FCC OET 65 (recalled): 1.6 times the field, so 1.6 times the distance.
    found = on_class(run(antenna_size_m=0.1), "240").exposure
    assert found.with_ground_m == pytest.approx(1.6 * found.distance_m)
    assert f"{found.with_ground_m:.2f} m over reflecting ground" in say(found.advice)


def test_the_power_at_the_antenna_counts() -> None:
    near, far = (on_class(run(length=length, power_dbm=27.5), "195") for length in ("2m", "20m"))
    assert far.exposure.distance_m < near.exposure.distance_m
    watts = units.dbm_to_watts(near.eirp_dbm)
    assert near.exposure.distance_m == pytest.approx(math.sqrt(watts / (4 * math.pi * 6.1)))
    assert any("People and radio power" in say(caution) for caution in choice(run()).cautions)


@given(eirp_w=st.floats(0.01, 100), limit=st.floats(1, 50))
def test_at_the_distance_the_density_is_the_limit(eirp_w: float, limit: float) -> None:
    metres = exposure.distance_m(eirp_w, limit)
    assert eirp_w / (4 * math.pi * metres**2) == pytest.approx(limit)


@pytest.mark.parametrize(("region", "limit_w_m2"), [("us", 30.5), ("eu-lower", 21.675)])
def test_who_works_at_antennas_keeps_by_the_limit_for_work(region: str, limit_w_m2: float) -> None:
    """Table 1 (A) of 47 CFR 1.1310: f/300 mW/cm2, so 3.05 mW/cm2 at 915 MHz; ICNIRP 2020 table 5, occupational: f/40
    W/m2, at 867 MHz 21.675. Both five times the general limit, so the root of five nearer."""
    mhz = 915.0 if region == "us" else 867.0
    found = on_class(run(region=region, frequency_mhz=mhz, antenna_size_m=0.1), "240")
    watts = units.dbm_to_watts(found.eirp_dbm)
    assert found.exposure.occupational_m == pytest.approx(math.sqrt(watts / (4 * math.pi * limit_w_m2)))
    assert found.exposure.occupational_m == pytest.approx(found.exposure.distance_m / math.sqrt(5))
