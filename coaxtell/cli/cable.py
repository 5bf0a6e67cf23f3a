"""`coaxtell cable`: from two named ports to the assemblies that serve the run, best first."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from coaxtell import files, saved_port, streams
from coaxtell.cables import tables as cable_tables
from coaxtell.cables import units
from coaxtell.cables.assembly import ASSUMED_GAIN
from coaxtell.cables.classes import TABLE_TEMPERATURE_C
from coaxtell.cables.doubt import doubtful
from coaxtell.cables.ends import Matings
from coaxtell.cables.limits import Settings
from coaxtell.cables.pieces import LONGEST_PIGTAIL_M, Inline, InlineKind
from coaxtell.cables.power import PowerRange
from coaxtell.cables.ranking import Choice, Preference, Ranked, choose
from coaxtell.cables.rows import NamedPort, of_names, on_ports
from coaxtell.cables.run import MOST_CHANNELS, Run
from coaxtell.cables.site import assumed_region
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.cli import draw
from coaxtell.cli.cable_words import screen, words
from coaxtell.models import quantity, tables
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import InputError
from coaxtell.models.mating.surely import to_order

if TYPE_CHECKING:
    from coaxtell.models.tables import Tables

NAME = "cable"
HELP = "find the cable assembly between two ports: class, length, ends, loss, what the limits allow"

ENDS = ("reader", "antenna", "both")
PREFER = f"which of those that serve comes first: {', '.join(Preference)}"

SHORT = 1
"""Status where nothing can be ordered, or what can be does not meet the target."""
UNSETTLED = 3
"""Status where a port is not settled, so that nothing was ordered."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.set_defaults(set_aside=[])  # what is said of the readings of --tables that do not count
    port = "a half by id, or a file saved by `identify --save`"
    parser.add_argument("reader", metavar="READER-PORT", help=port)
    parser.add_argument("antenna", metavar="ANTENNA-PORT", help=port)
    parser.add_argument("--length", required=True, help="length of the run, such as 12m or 40ft")
    parser.add_argument("--region", help="us, eu-lower, eu-upper or one of your own tables")
    parser.add_argument("--channels", default="50", metavar="N", help="hopping channels of the reader (default 50)")
    parser.add_argument("--reader", dest="settings", metavar="RANGE", help="its settings, such as 10..31.5/0.25 in dBm")
    parser.add_argument("--power", help="set the reader no higher than this, such as 30dBm or 1W")
    parser.add_argument("--gain", help="the antenna's gain with its unit: 8.5dBi, 6dBd or 8.5dBic")
    parser.add_argument(
        "--linear-gain", metavar="GRANT",
        help="count a dBic gain by its linear component, as this grant of the equipment says (United States)",
    )  # fmt: skip
    parser.add_argument("--antenna-size", metavar="SIZE", help="the antenna's largest size, such as 25cm")
    parser.add_argument("--frequency", help="such as 915MHz; else the usual one of the region")
    parser.add_argument("--temperature", help="of the cable, such as 40C or -20C")
    parser.add_argument("--want-dbm", metavar="DBM", help="power that must reach the antenna")
    parser.add_argument("--budget", help="the most that may be lost instead, such as 3dB")
    parser.add_argument("--bend", help="tightest bend radius of the route, such as 40mm")
    parser.add_argument("--outdoor", action="store_true", help="the cable runs in sun and rain")
    parser.add_argument("--riser", action="store_true", help="the cable runs between floors")
    parser.add_argument("--right-angle", choices=ENDS, help="ends that are to be right-angle ones")
    for kind in InlineKind:
        parser.add_argument(f"--{kind}", metavar="AT", help=f"{kind} in the run, so far from the reader, such as 2m")
    parser.add_argument(
        "--pigtail", metavar="LENGTH", help="pigtail from the reader to its enclosure's wall, such as 20cm"
    )
    parser.add_argument("--service-loop", metavar="LENGTH", help="spare cable to order with the run, such as 50cm")
    parser.add_argument("--drip-loop", metavar="LENGTH", help="cable of the loop that rain drips from, such as 30cm")
    parser.add_argument("--prefer", default=Preference.THINNEST.value, help=PREFER)
    parser.add_argument("-o", dest="output", type=Path, metavar="FILE", help="loss curves as .svg, .pdf or .png")
    parser.add_argument("--why", action="store_true", help="all of it: every class, settings, sums and cautions")
    parser.add_argument("--json", action="store_true", help="as JSON")


def run(args: argparse.Namespace) -> int:
    """Rank the assemblies for one run and print them; status 1 where none meets it, 3 where a port is not settled.

    Raises InputError where a port, a quantity or a table cannot be used.
    """
    found, halves = load(args.tables)
    if args.want_dbm is not None and args.budget is not None:
        raise InputError("--want-dbm and --budget are two targets; give one of them.")
    ports = (named_port(args.reader, halves), named_port(args.antenna, halves))
    asked, cautions = _asked(args, found, *ports)
    if args.prefer not in list(Preference):
        raise InputError(f"prefer {args.prefer!r} is not known; choose one of {', '.join(Preference)}.")
    files.kind(args.output, "loss curves are .svg, .pdf or .png", *draw.KINDS)
    joined = matings(halves)
    choice = choose(asked, joined, found, Preference(args.prefer))
    doubts = doubtful((ports[0].doubt, ports[1].doubt), choice.best, joined)
    if args.output is not None:
        _curves(choice, found, args.output)
    on_it = on_ports(ports)
    cautions = [*on_it, *cautions, *of_names(ports), *choice.cautions]
    if args.json:
        data = as_json(choice, cautions, doubts) | {"set_aside": args.set_aside}
        print(json.dumps(data, indent=1, ensure_ascii=False))
    else:
        print((words if args.why else screen)(choice, found, cautions, doubts, tuple(on_it)))
        if args.output is not None:
            print(f"\nLoss curves: {args.output}")
    met = choice.first is not None and choice.first.meets
    return UNSETTLED if doubts else 0 if met else SHORT


def load(extra: Path | None) -> tuple[CableTables, Tables]:
    """Cable tables and halves; a folder of the user's own may hold either kind.

    Raises InputError where the folder or a table in it cannot be used.
    """
    own_halves = extra
    if extra is not None and (extra / "cables").is_dir() and not any(extra.glob("*.toml")):
        own_halves = None
    return cable_tables.load(extra), tables.load(own_halves)


def matings(halves: Tables) -> Matings:
    """The matings of all halves, worked out as they are asked for."""
    return Matings(halves.halves, to_order)


def named_port(name: str, halves: Tables) -> NamedPort:
    """The half that an id or a saved identification names, with its doubt where it is not settled.

    Raises InputError where there is no such half or the file is no saved identification.
    """
    path = Path(name)
    if name.lower() in halves.halves:
        return NamedPort(halves.half(name.lower()))
    if not path.is_file():
        if path.suffix.lower() == ".json":
            raise InputError(f"{path}: there is no such file; write one with `coaxtell identify --save`.")
        return NamedPort(halves.half(name))
    port = saved_port.read(path, halves)
    if port.changed:
        streams.told(port.changed)
    return port


def _asked(
    args: argparse.Namespace, found: CableTables, reader: NamedPort, antenna: NamedPort
) -> tuple[Run, list[Reason]]:
    cautions = []
    frequency = None if args.frequency is None else units.frequency_mhz(args.frequency)
    key = args.region
    if key is None:
        key, said = assumed_region(frequency, found)
        cautions.append(said)
    region = found.region(key)
    gain = None if args.gain is None else units.gain(args.gain)
    if args.linear_gain is not None and (gain is None or gain.unit is not units.GainUnit.DBIC):
        raise InputError("--linear-gain counts a gain in dBic by its linear component; give --gain in dBic.")
    if args.linear_gain is not None:
        region = region.by_linear(args.linear_gain)
    bend = None if args.bend is None else units.length_m(args.bend, "bend") * 1000
    size = None if args.antenna_size is None else units.length_m(args.antenna_size, "antenna-size")
    warm = TABLE_TEMPERATURE_C if args.temperature is None else units.temperature_c(args.temperature)
    asked = Run(
        reader=reader.half,
        antenna=antenna.half,
        length_m=units.length_m(args.length),
        region=region,
        frequency_mhz=region.usual.nominal if frequency is None else frequency,
        channels=quantity.whole(args.channels, "--channels", 1, MOST_CHANNELS),
        power=_power(args, found),
        gain=gain,
        antenna_size_m=size,
        temperature_c=warm,
        want_dbm=None if args.want_dbm is None else units.level_dbm(args.want_dbm, "want-dbm"),
        budget_db=None if args.budget is None else units.loss_db(args.budget),
        bend_mm=bend,
        outdoor=args.outdoor,
        riser=args.riser,
        right_angle=(args.right_angle in ("reader", "both"), args.right_angle in ("antenna", "both")),
        inline=_inline(args),
        pigtail_m=None if args.pigtail is None else units.length_m(args.pigtail, "pigtail"),
        service_loop_m=0.0 if args.service_loop is None else units.length_m(args.service_loop, "service-loop"),
        drip_loop_m=0.0 if args.drip_loop is None else units.length_m(args.drip_loop, "drip-loop"),
    )
    if asked.pigtail_m is not None and asked.pigtail_m > LONGEST_PIGTAIL_M:
        raise InputError(
            f"A pigtail of {asked.pigtail_m:g} m reaches beyond any enclosure; give up to {LONGEST_PIGTAIL_M:g} m, "
            "and the rest as --length."
        )
    if asked.inline is not None and asked.inline.at_m >= asked.cable_m:
        raise InputError(f"The {asked.inline.kind} lies beyond the {asked.cable_m:g} m of cable; mend one of them.")
    return asked, cautions


def _inline(args: argparse.Namespace) -> Inline | None:
    said = [(kind, text) for kind in InlineKind if (text := getattr(args, kind.value)) is not None]
    if len(said) > 1:
        raise InputError("An arrestor and a splitter in one run are not worked out; give one of them.")
    return Inline(said[0][0], units.length_m(said[0][1], said[0][0].value)) if said else None


def _power(args: argparse.Namespace, found: CableTables) -> PowerRange | None:
    settings = None if args.settings is None else units.power_range(args.settings)
    if args.power is None:
        return settings
    return units.never_above(settings or found.usual_reader, args.power)


def _curves(choice: Choice, found: CableTables, output: Path) -> None:
    from coaxtell.cables.curves import curves
    from coaxtell.pages.curve_figure import figure

    title = f"{choice.run.reader.name} to {choice.run.antenna.name}"
    draw.write(figure(curves(choice, found), title), output)


def as_json(choice: Choice, cautions: list[Reason], doubts: tuple[Reason, ...] = ()) -> dict[str, Any]:
    """The choice as plain values for JSON; lengths in metres, losses in dB, levels in dBm."""
    asked = choice.run
    supposed = None if asked.gain is not None else str(ASSUMED_GAIN)
    return {
        "reader": asked.reader.id,
        "antenna": asked.antenna.id,
        "look_again": [say(one) for one in doubts],
        "region": asked.region.name,
        "exposure_rules": {"public": asked.region.exposure_rule, "occupational": asked.region.occupational_rule},
        "frequency_mhz": asked.frequency_mhz,
        "temperature_c": asked.temperature_c,
        "supposed_gain": supposed,
        "target": _target_json(choice),
        "assemblies": [_assembly_json(ranked, supposed) for ranked in choice.ranked],
        "not_ranked": [{"class": n.name, "loss": "unknown", "reason": say(n.reason)} for n in choice.not_ranked],
        "advice": [say(one) for one in choice.advice],
        "cautions": [say(one) for one in cautions],
    }


def _target_json(choice: Choice) -> dict[str, Any]:
    target = choice.target
    return {
        "aim": target.aim.value,
        "most_loss_db": round(target.most_db, 3),
        "want_dbm": target.want_dbm,
        "beyond_any_cable": target.beyond_any,
    }


def _both_gains(settings: Settings) -> dict[str, float | None]:
    """The setting by the letter with the linear and with the whole gain counted [dBm], whichever is in force.

    The linear one is none where it is no other reading.
    """
    letter, whole = settings.by_letter_dbm, settings.by_whole_dbm
    both = {
        "by_linear_gain_dbm": settings.by_linear_dbm if whole is None else letter,
        "by_whole_gain_dbm": letter if whole is None else whole,
    }
    return {key: None if value is None else round(value, 3) for key, value in both.items()}


def _assembly_json(ranked: Ranked, supposed: str | None) -> dict[str, Any]:
    a = ranked.assembly
    return {
        "class": a.cable.name,
        "length_m": round(a.length_m, 4),
        "ends": [end.id if end is not None else None for end in a.ends],
        "adapters": [f"{x.outer.id}+{x.inner.id}" for side in a.adapters for x in side],
        "jumpers": [f"{x.outer.id}+{x.inner.id}" for side in a.links for x in side if x.jumper],
        "loss_db": round(a.loss.cable_db, 3),
        "joints_db": round(a.loss.joints_db, 3),
        "adapters_db": round(a.loss.adapters_db, 3),
        "mismatch_db": round(a.loss.mismatch_db, 3),
        "total_loss_db": round(a.loss.total_db, 3),
        "loss_plus_minus_db": round(a.loss.plus_minus_db, 3),
        "power_dbm": round(a.power_dbm, 3),
        "by_the_letter_dbm": None if a.settings.by_letter_dbm is None else round(a.settings.by_letter_dbm, 3),
        "by_the_letter": say(a.settings.by_letter_why),
        **_both_gains(a.settings),
        "by_radiated_power_dbm": round(a.settings.by_radiated_dbm, 3),
        "by_radiated_power": say(a.settings.by_radiated_why),
        "at_antenna_dbm": round(a.at_antenna_dbm, 3),
        "expected_at_antenna_dbm": round(a.expected_dbm, 3),
        "eirp_dbm": round(a.eirp_dbm, 3),
        "erp_dbm": round(a.erp_dbm, 3),
        "legal": a.legal.value,
        "buildable": a.buildable,
        "sensible": not a.not_sensible,
        "meets": ranked.meets,
        "misses_target_db": round(ranked.miss_db, 3),
        "over_limit_db": round(a.over_limit_db, 3),
        "reach_m": round(ranked.reach_m, 2),
        "bend_once_mm": a.cable.bend_once.nominal,
        "bend_repeated_mm": a.cable.bend_repeated.nominal,
        "diameter_mm": a.cable.diameter.nominal,
        "jacket": a.jacket,
        "inline_db": round(a.loss.inline_db, 3),
        "pieces_m": [round(piece.length_m, 4) for piece in a.pieces],
        "usual_ends": a.cable.ends,
        "price": None if a.price is None else round(a.price, 2),
        "exposure": {
            "limit_w_m2": round(a.exposure.limit_w_m2, 3),
            "distance_m": round(a.exposure.distance_m, 3),
            "with_ground_reflection_m": round(a.exposure.with_ground_m, 3),
            "occupational_m": round(a.exposure.occupational_m, 3),
            "far_field_start_m": None if a.exposure.far_field_m is None else round(a.exposure.far_field_m, 3),
            "formula_holds": a.exposure.formula_holds,
            "advice": say(a.exposure.advice),
            "supposed_gain": supposed,
        },
        "reasons": [say(one) for one in ranked.reasons],
    }
