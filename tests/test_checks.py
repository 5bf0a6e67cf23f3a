"""The page of outside checks is whole, and says of each what, against what and how near."""

from __future__ import annotations

from tests.checks import PAGE, gathered, page


def test_the_page_of_checks_is_that_of_the_tests() -> None:
    """After a change of marks: python -m tests.checks."""
    assert PAGE.read_text(encoding="utf-8") == page()


def test_every_check_says_what_against_what_and_how_near() -> None:
    checks = [check for found in gathered().values() for check in found]
    assert len(checks) >= 40
    for check in checks:
        assert all(words.strip() for words in check[:3]), check
        assert not any("|" in words for words in check[:3]), check
    assert len({check.test for check in checks}) == len(checks)
