"""Site files and port lists: bad rows named by file and line, the others kept."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.cables import ports, site, site_blocks
from coaxtell.cables.ports import PortList, SitePort
from coaxtell.cables.rows import KEYS, NamedPort
from coaxtell.cables.site import SHARED, Site, parse
from coaxtell.cables.words import say
from coaxtell.cli.main import main
from coaxtell.cli.plan import ABOUT, EXAMPLE
from coaxtell.models.errors import InputError
from tests.cables.kit import cable_tables
from tests.halves import all_halves

GOOD = """[site]
name = "Dock"
region = "us"

[[reader]]
id = "R1"
port = "rp-tnc-jack"
power = "30dBm"

[[route]]
id = "tray"
length = "12m"
bend = "60mm"

[[antenna]]
id = "A1"
reader = "R1"
port = "n-50-jack"
route = "tray"
gain = "8.5dBic"

[[antenna]]
id = "A2"
reader = "R1"
port = "rp-tnc-jack"
length = "20ft"
gain = "6dBd"
outdoor = true
"""


def find(name: str) -> NamedPort:
    if name not in all_halves():
        raise InputError(f"no half is called {name!r}.")
    return NamedPort(all_halves()[name])


def read(text: str) -> Site:
    return parse(text, "dock.toml", cable_tables(), find)


def line_of(text: str, part: str) -> int:
    (found,) = [i for i, line in enumerate(text.splitlines(), start=1) if part in line]
    return found


def test_a_good_site() -> None:
    site = read(GOOD)
    assert site.problems == ()
    assert (site.name, site.region, site.rows) == ("Dock", "us", 2)
    one, two = site.runs
    # From its route, and from its own row: 20 ft are 6.096 m.
    assert one.run.length_m == 12
    assert one.run.bend_mm == pytest.approx(60)
    assert two.run.length_m == pytest.approx(6.096)
    assert (one.run.outdoor, two.run.outdoor) == (False, True)
    assert one.run.power is not None
    assert (one.run.power.highest_dbm, one.run.power.assumed) == (30, True)


def test_a_site_names_the_grant_by_which_the_linear_gain_counts() -> None:
    one, _ = read(GOOD.replace('region = "us"', 'region = "us"\nlinear_gain = "grant 17"')).runs
    assert one.run.region.grant == "grant 17"
    plain, _ = read(GOOD).runs
    assert plain.run.region.grant == ""
    with pytest.raises(InputError, match="knows no second reading"):
        read(GOOD.replace('region = "us"', 'region = "eu-lower"\nlinear_gain = "grant 17"'))


def test_an_antenna_overrides_its_route_and_the_site() -> None:
    text = GOOD.replace('route = "tray"', 'route = "tray"\nlength = "3m"\noutdoor = false').replace(
        'region = "us"', 'region = "us"\noutdoor = true\nwant = "24dBm"'
    )
    one, two = read(text).runs
    assert one.run.length_m == 3
    assert not one.run.outdoor
    assert two.run.outdoor
    assert one.run.want_dbm == two.run.want_dbm == 24


@pytest.mark.parametrize(
    ("old", "new", "part", "told", "left"),
    [
        ('gain = "8.5dBic"', 'gain = "8.5"', '"8.5"', "no unit", ["A2"]),
        ('gain = "8.5dBic"', "gain = 8.5", "8.5", "no unit", ["A2"]),
        ('length = "20ft"', 'length = "twenty"', "twenty", "not a number", ["A1"]),
        ('length = "20ft"\n', "", "", "has no length", ["A1"]),
        ('port = "n-50-jack"', 'port = "n-51-jack"', "n-51", "'n-51-jack'", ["A2"]),
        ('id = "A2"', 'id = "A1"', "", "stands twice", ["A1"]),
        ('reader = "R1"\nport = "rp', 'reader = "R9"\nport = "rp', "R9", "not in this file", ["A1"]),
        ("outdoor = true", 'outdoor = "yes"', '"yes"', "neither true nor false", ["A1"]),
        ("outdoor = true", "outdor = true", "outdor", "did you mean 'outdoor'", ["A1"]),
        ('route = "tray"', 'route = "roof"', "roof", "not in this file", ["A2"]),
        ('length = "12m"', 'length = "12"', '"12"', "no unit", ["A2"]),
        ('gain = "8.5dBic"', 'gain = "8.5dBic', "8.5dBic", "closing quote", ["A2"]),
        ('length = "20ft"', 'length = = "20ft"', "= =", "mend that line", ["A1"]),
        ('power = "30dBm"', 'power = "30"', '"30"', "no unit", []),
        ('gain = "8.5dBic"', 'gain = "8.5dBic"\nclass = "300"', '"300"', "unknown loss", ["A2"]),
        ('gain = "8.5dBic"', 'gain = "8.5dBic"\nclass = "1000"', '"1000"', "not known", ["A2"]),
    ],
)
def test_bad_rows_are_named_and_the_others_kept(old: str, new: str, part: str, told: str, left: list[str]) -> None:
    assert GOOD.count(old) == 1
    text = GOOD.replace(old, new)
    site = read(text)
    assert [run.antenna_id for run in site.runs] == left
    assert site.rows == 2
    first = next(problem for problem in site.problems if told in say(problem.what))
    assert say(first.reason).startswith("dock.toml, line ")
    if part:
        assert first.line == line_of(text, part)


def test_what_is_missing_is_named_by_the_line_of_its_block() -> None:
    (problem,) = read(GOOD.replace('length = "20ft"\n', "")).problems
    assert problem.line == line_of(GOOD, 'id = "A2"') - 1


def test_a_bad_reader_is_told_and_so_are_its_antennas() -> None:
    site = read(GOOD.replace('power = "30dBm"', 'power = "30"'))
    told = [say(problem.reason) for problem in site.problems]
    assert len(told) == 3
    assert sum("could not be read, see there" in text for text in told) == 2


def test_many_rows_none_lost() -> None:
    bad = {7, 100, 333, 499}
    rows = []
    for i in range(500):
        length = '"long"' if i in bad else f'"{3 + i % 20}m"'
        rows.append(f'[[antenna]]\nid = "B{i}"\nreader = "R1"\nport = "n-50-jack"\nlength = {length}\ngain = "6dBi"\n')
    text = GOOD + "\n".join(rows)
    site = read(text)
    assert site.rows == 502
    assert len(site.runs) == 502 - len(bad)
    lines = text.splitlines()
    assert [problem.line for problem in site.problems] == [
        i for i, line in enumerate(lines, start=1) if line == 'length = "long"'
    ]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "no [[antenna]]"),
        ("[site]\nname = 'x'\n", "no [[antenna]]"),
        (GOOD.replace('region = "us"', 'region = "mars"'), "line 3"),
        (GOOD.replace('region = "us"', 'region = "us"\nfrequency = "867MHz"'), "outside United States"),
        (GOOD.replace('region = "us"', 'region = "us"\nchannels = 3'), "at least 25"),
        (GOOD.replace('region = "us"', 'region = "us"\nprefer = "looks"'), "prefer 'looks'"),
        (GOOD.replace('region = "us"', 'region = "us"\nspares = "many"'), "spares 'many'"),
        (GOOD.replace('region = "us"', 'region = "us"\nspares = "²%"'), "spares '²%'"),
        (GOOD.replace('region = "us"', 'region = "us"\nspares = "٢%"'), "spares '٢%'"),
        (GOOD.replace('region = "us"', 'region = "us'), "line 3"),
    ],
)
def test_what_stops_the_whole_file(text: str, told: str) -> None:
    with pytest.raises(InputError, match=re.escape(told)) as error:
        read(text)
    assert "dock.toml" in str(error.value)


def test_stray_lines_and_unknown_blocks_are_told() -> None:
    site = read('note = "x"\n' + GOOD + '\n[[cable]]\nid = "1"\n[reader]\nid = "R7"\n')
    told = " ".join(say(problem.reason) for problem in site.problems)
    assert "line 1: stands before the first block" in told
    assert "[cable] is not known" in told
    assert "write this header as [[reader]]" in told
    assert len(site.runs) == 2


def test_the_region_follows_the_frequency_and_says_so() -> None:
    site = read(GOOD.replace('region = "us"', 'frequency = "867MHz"'))
    assert site.region == "eu-lower"
    assert site.region_from is not None
    assert "No region given" in say(site.region_from)
    assert read(GOOD).region_from is None


@given(st.text(max_size=300))
def test_any_text_is_read_or_refused(text: str) -> None:
    found, problems = site_blocks.read(text, "any.toml")
    assert all(1 <= block.line <= len(text.split("\n")) for block in found)
    assert all(problem.line >= 1 for problem in problems)


@given(
    at=st.integers(0, len(GOOD.splitlines())),
    line=st.sampled_from(['x = "', "= 3", "[", "[[antenna]]", "length = 3", "\u0000", '"""', "id = [1,"]),
)
def test_a_line_of_rubbish_anywhere_loses_no_row_in_silence(at: int, line: str) -> None:
    lines = GOOD.splitlines()
    text = "\n".join([*lines[:at], line, *lines[at:]]) + "\n"
    try:
        site = read(text)
    except InputError as refused:
        told = [str(refused)]
    else:
        told = [say(problem.reason) for problem in site.problems]
        if {run.antenna_id for run in site.runs} == {"A1", "A2"} and not told:
            # Only a line that changes nothing may pass in silence.
            assert line == "length = 3"
            return
    assert told
    assert all("dock.toml" in text for text in told)


NAMES = st.text(st.characters(blacklist_categories=["Cs"]), min_size=1, max_size=12)


@given(
    site=NAMES,
    listed=st.lists(
        st.builds(
            SitePort,
            id=st.sampled_from(sorted(all_halves())),
            count=st.integers(1, 999),
            where=st.lists(NAMES, max_size=4),
            takes=st.sampled_from(["", "n-50-plug"]),
        ),
        min_size=1,
        max_size=5,
    ),
)
def test_a_port_list_reads_back_as_written(site: str, listed: list[SitePort]) -> None:
    made = PortList(site, listed)
    assert ports.parse(ports.text(made), "ports.toml", all_halves()) == made


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "lists no port"),
        ('[[port]]\nid = "nope"\n', "'nope'"),
        ("[[port]]\ncount = 1\n", "id"),
        ('[[port]]\nid = "n-50-jack"\ncount = 0\n', "count 0"),
        ('[[port]]\nid = "n-50-jack"\ncolour = "red"\n', "colour"),
        ("[[port\n", "line 1"),
    ],
)
def test_a_faulty_port_list_is_refused(text: str, told: str) -> None:
    with pytest.raises(InputError, match=re.escape(told)) as error:
        ports.parse(text, "mine.toml", all_halves())
    assert str(error.value).startswith("mine.toml")


@pytest.mark.parametrize("value", ["[" * 100_000 + "]" * 100_000, "9" * 6000], ids=["deep", "long"])
def test_hostile_values_are_told_and_the_other_rows_kept(value: str) -> None:
    site = read(GOOD.replace('length = "20ft"', f"length = {value}"))
    assert [run.antenna_id for run in site.runs] == ["A1"]
    (problem,) = site.problems
    assert "nested too deep" in say(problem.what) or "too many digits" in say(problem.what)
    assert len(say(problem.reason)) < 120
    with pytest.raises(InputError, match=r"mine\.toml"):
        ports.parse(f"site = {value}\n", "mine.toml", all_halves())


def test_a_long_value_is_told_short() -> None:
    (problem,) = read(GOOD.replace('"20ft"', f'"{"9" * 3000}m"')).problems
    assert "longer than" in say(problem.what) or "too large" in say(problem.what)
    assert len(say(problem.reason)) < 200


def test_the_site_file_in_the_help_is_a_good_one() -> None:
    lines = [line[2:] for line in EXAMPLE.splitlines() if line.startswith("  ")]
    site = read("\n".join(lines))
    assert site.problems == ()
    (one,) = site.runs
    assert (one.run.length_m, one.run.want_dbm, one.run.outdoor) == (12, 24, True)
    assert one.run.antenna_size_m == pytest.approx(0.26)
    # What the text below it promises of routes and [site] holds, each key by itself.
    promised = re.findall(r"\(([a-z_,\s]+)\)", ABOUT)
    assert [set(re.split(r",\s", keys)) for keys in promised if "temperature" in keys] == [
        KEYS["route"] - {"id", "note"},
        SHARED,
    ]
    for key in ("frequency", "channels", "power", "settings", "prefer", "spares"):
        assert key in KEYS["site"]
        assert key in ABOUT


def test_ports_ends_and_parts_of_a_run() -> None:
    text = GOOD.replace('route = "tray"', 'route = "tray"\nreader_port = 2\nright_angle = "both"\narrestor = "2m"', 1)
    run = read(text).runs[0]
    assert (run.reader_port, run.reader_place) == (2, "R1, antenna port 2")
    assert run.run.right_angle == (True, True)
    assert run.run.inline is not None
    assert (run.run.inline.kind.value, run.run.inline.at_m) == ("arrestor", 2.0)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("reader_port = 0", "reader_port 0 is no number of a port"),
        ('reader_port = "2"', "is no number of a port"),
        ('right_angle = "left"', "right_angle 'left' is not known"),
        ('arrestor = "20m"', "arrestor at 20 m lies beyond the 12 m"),
        ('arrestor = "2m"\nsplitter = "3m"', "says both arrestor and splitter"),
        ('want = "24dBm"\nbudget = "3dB"', "says both want and budget"),
    ],
)
def test_bad_parts_of_a_run_are_named(line: str, told: str) -> None:
    site = read(GOOD.replace('route = "tray"', f'route = "tray"\n{line}', 1))
    assert told in " ".join(say(problem.reason) for problem in site.problems)


def test_two_antennas_on_one_port_are_told() -> None:
    text = GOOD.replace('reader = "R1"', 'reader = "R1"\nreader_port = 1')
    site = read(text)
    assert len(site.runs) == 1
    assert "another antenna is on port 1 of R1 already" in say(site.problems[0].reason)


@pytest.mark.parametrize(("length", "sites"), [("1.99m", 0), ("2.01m", 1)])
def test_a_pigtail_of_two_metres_is_the_longest(length: str, sites: int) -> None:
    """Assumed."""
    assert len(read(GOOD.replace('gain = "6dBd"', f'gain = "6dBd"\npigtail = "{length}"')).problems) == sites


def test_a_pigtail_is_no_longer_than_an_enclosure_and_one_wrong_length_is_one_sentence() -> None:
    long = GOOD.replace('gain = "6dBd"', 'gain = "6dBd"\npigtail = "20m"')
    (problem,) = read(long).problems
    assert "reaches beyond any enclosure" in say(problem.reason)
    wrong = GOOD.replace('length = "20ft"', 'length = "20"\nservice_loop = "1m"\narrestor = "2m"')
    (problem,) = read(wrong).problems
    assert "has no unit" in say(problem.reason)


def test_a_site_of_more_antennas_than_a_plan_can_hold_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(site, "MOST_ANTENNAS", 2)
    assert len(read(GOOD).runs) == 2
    monkeypatch.setattr(site, "MOST_ANTENNAS", 1)
    with pytest.raises(InputError, match="has 2 antennas; give at most 1"):
        read(GOOD)


SIGNS = {"escape": "\\u001b[2J", "turned": "\\u202e", "of no width": "\\u200b", "line": "\\n"}


@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("where", ["antenna", "reader", "route", "site"])
def test_a_sign_that_nobody_sees_reaches_neither_terminal_nor_page_nor_port_list(
    sign: str, where: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An escape in an antenna's name had cleared the screen, and a sign that turns the direction stood in the page."""
    names = {"antenna": "left", "reader": "R1", "route": "door", "site": "Gate"}
    names[where] = f"le{SIGNS[sign]}ft"
    text = f"""[site]
name = "{names["site"]}"
[[reader]]
id = "{names["reader"]}"
port = "rp-tnc-jack"
[[route]]
id = "{names["route"]}"
length = "12m"
[[antenna]]
id = "{names["antenna"]}"
reader = "{names["reader"]}"
port = "n-50-jack"
route = "{names["route"]}"
[[antenna]]
id = "right"
reader = "{names["reader"]}"
port = "n-50-jack"
length = "5m"
"""
    monkeypatch.chdir(tmp_path)
    Path("site.toml").write_text(text, encoding="utf-8")
    status = main(["plan", "site.toml", "-o", "plan.html"])
    told = capsys.readouterr()
    assert status == (2 if where == "site" else 1)
    assert "holds a sign that nobody sees" in told.err
    written = [path.read_text(encoding="utf-8") for path in tmp_path.glob("[!s]*")]
    raw = SIGNS[sign].encode().decode("unicode_escape")
    for shown in (told.out, told.err, *written):
        assert f"le{raw}ft" not in shown
        assert sign == "line" or raw[0] not in shown


def test_an_escape_that_is_no_toml_is_told_as_python_writes_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    good = '[[reader]]\nid = "R1"\nport = "rp-tnc-jack"\n'
    antenna = '[[antenna]]\nid = "{}"\nreader = "R1"\nport = "n-50-jack"\nlength = "5m"\n'
    text = good + antenna.format("le\x1b[31mRED\x1b[2Jft") + antenna.format("right")
    Path("site.toml").write_text(text, encoding="utf-8")
    assert main(["plan", "site.toml", "-o", "plan.html"]) == 1
    told = capsys.readouterr().err
    assert "le\\x1b[31mRED" in told
    assert "\x1b" not in told + Path("plan.html").read_text(encoding="utf-8")
