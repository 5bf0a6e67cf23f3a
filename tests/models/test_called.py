"""Names as the trade types them: understood, or asked back with the two or three that are meant."""

from __future__ import annotations

import pytest

from coaxtell.models import tables
from coaxtell.models.errors import InputError
from tests.halves import all_halves

KNOWN = {
    # common practice, no source
    "SMA-plug": "sma-plug", "Sma Jack": "sma-jack", "so239": "uhf-jack", "PL-259": "uhf-plug", "pl259": "uhf-plug",
    "SO-239": "uhf-jack", "sma male": "sma-plug", "TNC female": "tnc-jack", "RP-TNC jack": "rp-tnc-jack",
    "7/16 plug": "7-16-plug", "BNC 75 jack": "bnc-75-jack", "n 50 plug": "n-50-plug",
    "2,92 female": "2.92-jack", "K female": "2.92-jack", "v male": "1.85-plug", "rpsma jack": "rp-sma-jack",
    "APC-7": "7-mm", "fakra k jack": "fakra-k-jack", "connector 3,5 male": "3.5-plug",
}  # fmt: skip
ASKED = {
    "n-jack": {"n-50-jack", "n-75-jack"}, "sma": {"sma-plug", "sma-jack"}, "u.fl": {"micro-1-plug", "micro-1-jack"},
    "type n female": {"n-50-jack", "n-75-jack"}, "rpsma": {"rp-sma-plug", "rp-sma-jack"},
    "2,92": {"2.92-plug", "2.92-jack"}, "rp-sma male": {"rp-sma-plug", "rp-sma-jack"},
    "bnc plug": {"bnc-50-plug", "bnc-75-plug"},
}  # fmt: skip


@pytest.mark.parametrize(("typed", "half_id"), KNOWN.items())
def test_understood(typed: str, half_id: str) -> None:
    assert tables.load().half(typed).id == half_id


@pytest.mark.parametrize(("typed", "ids"), ASKED.items())
def test_asked_back(typed: str, ids: set[str]) -> None:
    with pytest.raises(InputError, match="which of them is meant") as asked:
        tables.load().half(typed)
    assert {half_id for half_id in all_halves() if f" {half_id} (" in f" {asked.value}"} == ids


@pytest.mark.parametrize("typed", ["sma-plog", "", "zzz", "-", "gizmo"])
def test_what_nothing_fits_is_refused(typed: str) -> None:
    with pytest.raises(InputError, match="No half is called"):
        tables.load().half(typed)


def test_every_half_is_known_by_its_id_name_and_trade_names() -> None:
    loaded = tables.load()
    for half in loaded.halves.values():
        assert loaded.half(half.id.upper()).id == half.id
