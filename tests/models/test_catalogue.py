"""The catalogue says reasons: values, reasons within reasons, lists, the English text where another has none."""

from pathlib import Path

import pytest

from coaxtell.models.catalogue import MODELS, Catalogue, Reason


@pytest.fixture
def rooms(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Catalogue:
    root = tmp_path
    for name, texts in {
        "low_room": {"en": '[list]\njoin = "; "\n[pin]\nshort = "ends {gap:.2f} mm short"\n'},
        "high_room": {
            "en": '[say]\nboth = "It {why}."\nall = "So: {whys}"\n',
            "xx": '[pin]\nshort = "kurz um {gap:.2f} mm"\n',
        },
    }.items():
        (root / name / "texts").mkdir(parents=True)
        (root / name / "__init__.py").touch()
        for language, text in texts.items():
            (root / name / "texts" / f"{language}.toml").write_text(text, encoding="utf-8")
    monkeypatch.syspath_prepend(str(root))
    return Catalogue("high_room", below=Catalogue("low_room"))


def test_a_reason_is_said_with_its_numbers(rooms: Catalogue) -> None:
    short = Reason("pin.short", {"gap": 0.314})
    assert rooms.say(short) == "ends 0.31 mm short"
    assert rooms.say(Reason("say.both", {"why": short})) == "It ends 0.31 mm short."
    assert rooms.say(Reason("say.all", {"whys": [short, short]})) == "So: ends 0.31 mm short; ends 0.31 mm short"


def test_another_language_falls_back_to_english(rooms: Catalogue) -> None:
    short = Reason("pin.short", {"gap": 0.314})
    assert rooms.say(Reason("say.both", {"why": short}), "xx") == "It kurz um 0.31 mm."
    assert rooms.texts("xx")["say.both"] == "It {why}."


def test_a_code_without_a_text_is_a_slip(rooms: Catalogue) -> None:
    with pytest.raises(KeyError):
        rooms.say(Reason("pin.long"))
    assert MODELS.texts()["list.join"] == "; "
