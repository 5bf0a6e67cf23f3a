"""What the demonstration shows, in the order in which a technician meets it: commands and what they wrote."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.demo.people import PEOPLE


class Step(NamedTuple):
    """One thing shown: its heading, what it is about, its commands as they are typed, and the files to open."""

    name: str
    title: str
    about: str
    lines: tuple[str, ...]
    files: tuple[str, ...] = ()
    picture: str = ""


STEPS = (
    Step(
        "port", "A port without a name",
        "The label of reader R1 is painted over. Two looks and a width name its port; it is kept for the plan.",
        (
            "identify --saw coupling=thread-outside --saw centre=pin --measured coupling-diameter=11.0mm --no-reach "
            "--setting uhf-reader --save reader-port.json",
        ),
        ("reader-port.json",),
    ),
    Step(
        "walk", "The whole site walk",
        "Ten rows of looks and widths, one of them with a slip of the pen and one too dark to see: each is named, or "
        "it is said which look is missing.",
        ("identify --batch walk.csv --setting uhf-reader --no-high-voltage --no-reach -o walk.html",),
        ("walk.csv", "walk.html"),
    ),
    Step(
        "pair", "What must not meet",
        "A spare cable with a TNC plug lies about. It would go on.",
        ("mate rp-tnc-jack tnc-plug -o pair.svg",), ("pair.svg",), "pair.svg",
    ),
    Step(
        "plan", "Cables for five antennas",
        "Readers, antennas and routes of the site, and from them the order list, labels and checks on arrival: to look "
        "at, to print, to work on. The port of R1 is the one that was just named.",
        ("plan site.toml -o plan.html", "plan site.toml -o plan.pdf", "plan site.toml -o plan.xlsx"),
        ("site.toml", "plan.html", "plan.pdf", "plan.xlsx", "ports.toml"),
    ),
    Step(
        "sheets", "A page on each of the site's ports",
        "Pictures, what to measure, what mates, what to beware of. The families are real; their numbers come from the "
        "tables, each with its source.",
        ("sheet --ports ports.toml -o sheets.pdf",), ("sheets.pdf",),
    ),
    Step(
        "guide", "Questions on paper",
        "The shortest way to tell the site's ports apart without a screen.",
        ("guide --ports ports.toml -o guide.pdf",), ("guide.pdf",),
    ),
    Step(
        "lifesize", "Ports at life size",
        "To lay a connector on, printed at 100 %.",
        ("lifesize --ports ports.toml -o lifesize.pdf",), ("lifesize.pdf",),
    ),
    Step(
        "phone", "The page for a phone",
        "All five jobs up a ladder and without a network, the site's ports first. It alone has a script of its own.",
        ("pocket --ports ports.toml -o phone.html",), ("phone.html",),
    ),
    Step(
        "gauge", "Numbers of one's own",
        "Invented readings of the SMA jack, kept as a gauge file; and what another twenty minutes would settle.",
        ("gauge --plan ports.toml --minutes 20 --tables measured",), ("measured/gauged.toml",),
    ),
    Step(
        "arrival", "What was delivered",
        "Invented sweeps of the five cables, one of them cut short and one crushed on its way.",
        ("arrival site.toml --batch sweeps -o arrival.html",), ("arrival.html",),
    ),
    Step(
        "team", "Who is how far",
        "Answers of three invented people, given through the program's own practice and one assessment.",
        ("progress --team --records record.db -o team.html",), ("team.html", "record.db"),
    ),
    Step(
        "person", "One of them",
        "What sits, what does not, and how an assessment would go today.",
        (f'progress --person "{PEOPLE[1].name}" --ports ports.toml --records record.db',),
    ),
    Step(
        "campaign", "Who must do what before the work",
        "For the lead, until the day on which the gates are to work.",
        ("campaign ports.toml --until {until} --records record.db",),
    ),
)  # fmt: skip
"""Every step; `{until}` stands for the last day of the work."""
