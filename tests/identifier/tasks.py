"""Twenty-odd real tasks: who stands before which port, what he sees where that differs from the part, how it must end.

Each rests on a ground outside this project: a standard, a rule, or common practice of the trade (so marked). The
sizes are the parts' own, by the tables; what is misread or worn is invented.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import Settled

PRACTICE = "common practice, no source"


class Task(NamedTuple):
    """One task. `says` holds what is typed instead of the truth; two of them for a first and a second look."""

    name: str
    scene: str
    ground: str
    half: str
    options: tuple[str, ...] = ()
    says: Mapping[Feature, tuple[str, ...]] = {}
    voltage: str = "y"
    state: Settled = Settled.SETTLED
    told: tuple[str, ...] = ()
    """What the answer must say."""
    never: tuple[Feature, ...] = ()
    """What must not be asked."""
    given: tuple[str, ...] = ()
    """What is said at once, as options; nothing is asked then."""


WIFI, READER, CELL, VIDEO, BENCH = (
    ("--setting", name) for name in ("wifi", "uhf-reader", "cellular", "video", "bench")
)
FACE = tuple(Feature(one) for one in ("touch", "pin-diameter", "socket-bore", "bore"))
MEASURED = tuple(Feature(one) for one in ("coupling-diameter", "pin-diameter", "socket-bore", "bore", "nut-width"))

TASKS = (
    Task(
        "router", "The antenna port of a wireless router.",
        "47 CFR 15.203: an intentional radiator has a unique coupling; that it is RP-SMA is " + PRACTICE,
        "rp-sma-jack", WIFI, told=("RP-SMA plug", "sma-plug"),
    ),
    Task(
        "router-antenna", "The whip that came off that router.", "47 CFR 15.203; RP-SMA is " + PRACTICE,
        "rp-sma-plug", WIFI, told=("RP-SMA jack",),
    ),
    Task(
        "reader", "The antenna port of a fixed reader.", "47 CFR 15.203; RP-TNC on readers is " + PRACTICE,
        "rp-tnc-jack", READER, told=("RP-TNC plug", "TNC jack: centre"),
    ),
    Task(
        "reader-antenna", "The jack on the back of a panel antenna.", "IEC 61169-16; N there is " + PRACTICE,
        "n-50-jack", READER, told=("N plug",),
    ),
    Task(
        "module", "The jack of a small reader module.", "IEC 61169-15; SMA on modules is " + PRACTICE,
        "sma-jack", READER, told=("SMA plug", "RP-SMA jack"),
    ),
    Task(
        "arrestor", "The cable side of a lightning arrestor below a mast.",
        "IEC 61169-4; 7/16 at masts is " + PRACTICE, "7-16-jack", CELL, told=("7/16 plug", "lightning"),
    ),
    Task(
        "small-cell", "The port of a small cell on a lamp post.", "IEC 61169-54, title: 4.3-10",
        "4.3-10-jack", CELL, told=("4.3-10 plug",),
    ),
    Task(
        "video", "The input of a video router, with 75 printed beside it.", "IEC 61169-63: BNC of 75 ohm for video",
        "bnc-75-jack", VIDEO, {Feature.MARKED: ("75",)}, told=("75 ohm",),
    ),
    Task(
        "television", "The wall outlet of a cable network, by inches.", "IEC 61169-24: F, thread 3/8-32",
        "f-jack", VIDEO, {Feature.COUPLING_DIAMETER: ("0.368in",), Feature.MARKED: ("75",)}, told=("F plug",),
    ),
    Task(
        "board", "A tiny jack on a radio board.", "no public standard; receptacles of 2 mm on boards are " + PRACTICE,
        "micro-1-jack", BENCH, told=("micro snap generation I plug",),
    ),
    Task(
        "pigtail", "The end of a pigtail that goes into a receiver.", "IEC 61169-36, title: MCX; use is " + PRACTICE,
        "mcx-plug", BENCH, told=("MCX jack",),
    ),
    Task(
        "car", "The antenna lead of a car, in a blue housing.", "ISO 20860-1 and USCAR-17, from memory: blue is code C",
        "fakra-c-plug", told=("FAKRA C jack",),
    ),
    Task(
        "base-radio", "The port of an old base radio, wide thread, notches across its rim.",
        "IEC 169-12: UHF; notches are " + PRACTICE, "uhf-jack", told=("UHF plug",),
    ),
    Task(
        "analyser", "The test port of a network analyser.", "IEC 61169-35: 2.92 mm intermates with SMA; gauges only is "
        + PRACTICE, "2.92-jack", BENCH, state=Settled.FITS_ALL, never=FACE,
        told=("read the marking; the maker's own gauge tells: bore", "Nothing but the maker's own gauge touches or"),
    ),
    Task(
        "worn", "An RP-SMA port whose pin was filed or bent.", "wear is " + PRACTICE + "; the reading is invented",
        "rp-sma-jack", WIFI, told=("Worn", "do not mate"),
        given=("--saw", "coupling=thread-outside", "--saw", "centre=pin", "--saw", "plastic=sunk", "--saw",
               "size=pencil", "--measured", "pin-diameter=0.7"),
    ),
    Task(
        "inches", "An N port read in inches with a cheap calliper.", "ASME B1.1: 5/8-24 UNEF, crests near 0.62 in",
        "n-50-jack", CELL, {Feature.COUPLING_DIAMETER: ("0.62in",), Feature.BORE: ("0.32in",)}, told=("N plug",),
    ),
    Task(
        "dark", "Up a ladder at dusk, nothing but a torch: only eyes.", PRACTICE, "rp-tnc-jack",
        (*READER, "--with", "none"), told=("RP-TNC plug",), never=MEASURED,
    ),
    Task(
        "energised", "A panel that may not be switched off: look only.", PRACTICE, "n-50-jack",
        (*READER, "--look-only"), told=("N plug",), never=(*MEASURED, Feature.TOUCH),
    ),
    Task(
        "behind-a-wall", "A reader mounted flat on a wall: one cannot get behind it.", PRACTICE, "rp-tnc-jack",
        (*READER, "--no-reach"), told=("RP-TNC plug",), never=(Feature.MARKED,),
    ),
    Task(
        "over-the-lugs", "A BNC jack measured over its lugs.", "MIL-STD-348B, BNC: 11.0 mm over the lugs",
        "bnc-50-jack", BENCH, state=Settled.NOT_SETTLED, told=("coupling-diameter=11.0", "Order nothing yet"),
        given=("--saw", "coupling=lugs", "--saw", "centre=socket", "--saw", "plastic=tube", "--measured",
               "coupling-diameter=11.0"),
    ),
    Task(
        "left-hand", "A port with a left-hand thread, seen twice.", "left-hand TNC as a unique coupling: " + PRACTICE,
        "tnc-left-jack", WIFI, state=Settled.NOT_SETTLED, told=("Not settled: TNC left-hand jack",),
        given=("--saw", "coupling=thread-outside", "--saw", "centre=socket", "--saw", "plastic=tube", "--saw",
               "size=aaa-cell", "--saw", "thread-hand=left", "--again", "thread-hand=left"),
    ),
    Task(
        "mated-pair", "A port of a wireless bridge, its antenna lead still on.", PRACTICE, "rp-sma-jack",
        (*WIFI, "--mated"), told=("RP-SMA plug",),
    ),
    Task(
        "left-hand-unscrewed", "A port whose mate came off the wrong way round, its slant seen as well.",
        "left-hand TNC as a unique coupling: " + PRACTICE, "tnc-left-jack", WIFI, told=("TNC left-hand plug",),
        given=("--mated", "--saw", "comes-off=clockwise", "--saw", "coupling=thread-outside", "--saw", "centre=socket",
               "--saw", "plastic=tube", "--saw", "size=aaa-cell", "--saw", "thread-hand=left"),
    ),
    Task(
        "dim-socket", "An RP-SMA plug whose socket nobody can see: wood tells.", "47 CFR 15.203; " + PRACTICE,
        "rp-sma-plug", WIFI, {Feature.CENTRE: ("u",)}, told=("RP-SMA",),
    ),
    Task(
        "kilovolts", "A bayonet that may be one for high voltage.", "MHV and SHV look like BNC: " + PRACTICE,
        "bnc-50-jack", BENCH, voltage="n", state=Settled.NOT_SETTLED, told=("kilovolts", "touch and join nothing"),
        never=(*MEASURED, Feature.TOUCH),
    ),
)  # fmt: skip
