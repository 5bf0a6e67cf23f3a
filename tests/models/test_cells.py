"""Cells that no spreadsheet takes for a formula, and that give back the old name."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.models.cells import FORMULA, neutral, restored, shown


@pytest.mark.parametrize("text", ["=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1"])
def test_what_a_spreadsheet_would_work_out_is_text(text: str) -> None:
    """The starts are those of OWASP's page on CSV injection."""
    assert neutral(text) == f"'{text}"
    assert shown(text) == f"'{text}"
    assert restored(neutral(text)) == text


@given(st.text(st.sampled_from("'=+-@\t\r\nab1 ＝")) | st.text())
def test_every_text_comes_back(text: str) -> None:
    assert restored(neutral(text)) == text
    assert not neutral(text).startswith(FORMULA)
    assert neutral(text) in (text, f"'{text}")


@pytest.mark.parametrize("text", ["-3.25", "+5", "-20 dBm", "-40 °C", "-5\u202f%", "R1", "'n'"])
def test_signed_figures_and_plain_names_are_shown_as_they_are(text: str) -> None:
    assert shown(text) == text


@pytest.mark.parametrize("text", ["'=1+1", "''@x", "'+49", "'"])
def test_an_apostrophe_of_its_own_comes_back(text: str) -> None:
    assert restored(neutral(text)) == text
