"""The seat is geometry: faces shifted as a measured part would have them, wherever the table puts its plane."""

import msgspec
import pytest

from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import Verdict, judge
from coaxtell.models.numbers import Path, replaced, walk
from coaxtell.models.profile import Annulus, Profile, profile
from tests.halves import all_halves, half

KINDS = [one for one in all_halves().values() if one.polarity == "standard" and one.key is None]


def mate_of(one: Half) -> Half | None:
    if one.gender == "sexless":
        return one
    other = "jack" if one.gender == "plug" else "plug"
    return all_halves().get(f"{one.id.removesuffix(f'-{one.gender}')}-{other}")


def shifted(one: Half, by: float) -> Half | None:
    """The half with the face on which it seats moved along the axis [mm]; none where its next step is in the way."""
    other = mate_of(one)
    assert other is not None
    stop = judge(profile(one), profile(other)).stop
    assert stop is not None
    for path, measure in walk(one):
        if path[0] == "shell" and path[-1] in ("rim", "to") and abs(measure.nominal - stop.a.z0) < 1e-9:
            try:
                one = replaced(one, path, measure.at(measure.nominal + by))
            except ValueError:
                return None
    return one


PAIRS = [(one, other) for one in KINDS if (other := mate_of(one)) is not None]


@pytest.mark.parametrize("by", [0.005, -0.005])
@pytest.mark.parametrize(("one", "other"), PAIRS, ids=[one.id for one, _ in PAIRS])
def test_five_micrometres_change_nothing(one: Half, other: Half, by: float) -> None:
    moved = shifted(one, by)
    assert moved is not None
    found = judge(profile(moved), profile(other))
    assert found.verdict is judge(profile(one), profile(other)).verdict is Verdict.MATES
    assert judge(profile(other), profile(moved)).verdict is found.verdict


@pytest.mark.parametrize("by", [0.05, -0.05, 0.5, -0.5])
@pytest.mark.parametrize(("one", "other"), PAIRS, ids=[one.id for one, _ in PAIRS])
def test_larger_shifts_are_told_and_symmetric(one: Half, other: Half, by: float) -> None:
    """A face that stands further out seats that much sooner; one drawn back seats later or lets another part in."""
    moved = shifted(one, by)
    if moved is None:
        return  # the face would pass the step behind it
    base, found = judge(profile(one), profile(other)), judge(profile(moved), profile(other))
    assert judge(profile(other), profile(moved)).verdict is found.verdict
    if found.verdict is Verdict.MATES and base.coupling.lock is None:
        # where it still mates, the offset is the shift itself, or another part of the shell seats before
        assert found.stop is not None
        assert found.stop.a.seats
        assert found.distance <= max(by, 0) + 1e-9
        assert found.distance >= min(by, 0) - 1e-9
    if by == 0.05 and base.coupling.lock is None:
        assert found.verdict is Verdict.MATES


DAMAGED = {"sma-plug", "sma-jack", "n-50-plug", "n-50-jack", "tnc-plug", "tnc-jack", "uhf-plug", "uhf-jack", "3.5-plug"}


@pytest.mark.parametrize("half_id", sorted(DAMAGED))
def test_a_face_half_a_millimetre_back_lets_something_fragile_touch(half_id: str) -> None:
    """By the fact sheet's mated checks: shoulder gaps of 0.1 to 0.3 mm are all there is behind the plane."""
    one = half(half_id)
    moved, other = shifted(one, -0.5), mate_of(one)
    assert moved is not None
    assert other is not None
    assert judge(profile(moved), profile(other)).verdict is Verdict.DAMAGES


def _moved(faces: tuple[Annulus, ...], by: float) -> tuple[Annulus, ...]:
    return tuple(face._replace(z0=face.z0 + by, z1=face.z1 + by) for face in faces)


def elsewhere(one: Profile, by: float) -> Profile:
    """The same half with its z measured from another plane [mm]."""
    thread = None if one.thread is None else one.thread._replace(front=one.thread.front + by, rear=one.thread.rear + by)
    own = one.own_thread
    return msgspec.structs.replace(
        one,
        fixed=_moved(one.fixed, by),
        moving=_moved(one.moving, by),
        thread=thread,
        own_thread=None if own is None else own._replace(front=own.front + by, rear=own.rear + by),
        contact=one.contact._replace(tip=one.contact.tip + by),
        rim=one.rim + by,
    )


@pytest.mark.parametrize("family", ["sma", "n-50", "tnc", "f", "2.4", "uhf"])
def test_the_plane_may_lie_anywhere(family: str) -> None:
    """A jack whose table counts from its rim mates as before; the distance of the planes tells where it counts from."""
    plug, jack = profile(half(f"{family}-plug")), profile(half(f"{family}-jack"))
    for by in (-1.93, 0.7):
        found = judge(plug, elsewhere(jack, by))
        assert found.verdict is Verdict.MATES
        assert found.distance == pytest.approx(judge(plug, jack).distance + by)


def test_a_reported_mistake() -> None:
    """Found in 0.1.0: an SMA plug with its rim at +0.02 mm did not join its own jack."""
    rim: Path = ("shell", "rim")
    plug = replaced(half("sma-plug"), rim, half("sma-plug").shell.rim.at(0.02))
    found = judge(profile(plug), profile(half("sma-jack")))
    assert found.verdict is Verdict.MATES
    assert found.distance == pytest.approx(0.02)
