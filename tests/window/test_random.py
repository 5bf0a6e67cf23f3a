"""Random events under a seed: the kept study of a hundred thousand, and some more played now."""

from benchmarks import window_events
from benchmarks.study import kept, kept_tallies

STUDY = window_events.STUDY


def test_a_hundred_thousand_random_events_left_no_fault_and_lost_no_answer() -> None:
    held = kept(STUDY.name)
    assert held is not None
    assert held["n"] == 100_000
    found = kept_tallies(STUDY.name)
    # by keys at the start of each block, whatever chance does after that
    assert found["answers in the record"].tries >= window_events.FIRST * STUDY.blocks
    assert found["sessions taken up as they were left"].tries >= STUDY.blocks
    for label, tally in found.items():
        assert tally.mean == 1.0, label


def test_some_more_leave_none_either() -> None:
    for label, tally in window_events.play(STUDY.blocks, STUDY.sample).items():
        # how long a step takes is the study's business: a test run is noisy
        if label not in ("scenes seen", "steps within 1 s of processor"):
            assert tally.mean == 1.0, label
