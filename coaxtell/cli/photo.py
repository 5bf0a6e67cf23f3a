"""`coaxtell photo`: the width of a port from a photograph with a bank card beside it, and what port that may be."""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from coaxtell import files, photo_bench
from coaxtell.models.errors import InputError

if TYPE_CHECKING:
    from coaxtell.cli.identify import Known
    from coaxtell.photo.card import Array, Card, Grey
    from coaxtell.photo.file import Photo
    from coaxtell.photo.width import Width

NAME = "photo"
HELP = "measure a port in a photograph that has a bank card beside it (experimental)"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.set_defaults(set_aside=[])
    parser.add_argument("file", type=Path, nargs="?", metavar="FILE", help="the photograph (.jpg, .png, .webp)")
    parser.add_argument(
        "--face", metavar="X,Y,R|N", help="the face's middle and radius in pixels, or the number of a proposed circle"
    )
    parser.add_argument(
        "--card", metavar="'X,Y X,Y X,Y X,Y'", help="the card's corners in pixels, where it was not found"
    )
    parser.add_argument("--height", metavar="HOW", help="face above the card: level, unknown (default), or in mm")
    parser.add_argument(
        "--across",
        metavar="FEATURE",
        help="what the circle goes round (coupling-diameter)",
    )
    parser.add_argument(
        "--from", dest="start", type=Path, metavar="FILE.json", help="go on from a saved identification"
    )
    parser.add_argument("--save", type=Path, metavar="FILE.json", help="save the identification with this width in it")
    parser.add_argument(
        "-o", dest="output", type=Path, metavar="FILE.png", help="the picture with what was found on it"
    )
    parser.add_argument(
        "--evaluate", type=Path, metavar="FOLDER", help="score a reading of faces on labelled photographs (labels.csv)"
    )
    parser.add_argument("--weights", type=Path, metavar="FILE.onnx", help="the trained reading that --evaluate scores")
    parser.add_argument("--json", action="store_true", help="as JSON")


def run(args: argparse.Namespace) -> int:
    """Measure, say how sure, and what that makes of the port.

    Raises InputError where the picture, the card, the face or a file does not serve.
    """
    if args.evaluate is not None:
        return _scores(args)
    if args.file is None:
        raise InputError("Which photograph? Give its file, such as coaxtell photo port.jpg.")
    if args.weights is not None:
        raise InputError("--weights goes with --evaluate FOLDER: a reading is scored, it names no port yet.")
    _files_can_be_written(args)
    up = photo_bench.height(args.height or "unknown", "--height")
    from coaxtell.identifier import answers, looks
    from coaxtell.identifier.features import Feature
    from coaxtell.photo import card, file, width

    # what cannot be told on is refused before anything is measured
    args.across = answers.feature_named(args.across or "coupling-diameter")
    if args.across is Feature.THREADS:
        raise InputError(f"--across {args.across} is no width; name one, such as coupling-diameter.")
    answers.measured(args.across, "6mm", "calliper", looks.load())
    photo = file.load(args.file)
    grey = card.grey_of(photo.picture)
    found = _card(args, photo, grey)
    blurred = photo_bench.blurred(grey, found)
    if blurred is not None:
        raise InputError(f"{args.file}: {blurred}")
    middle, radius = _face(args, photo, found)
    measured = width.measure(grey, found, middle, radius, up, photo.focal_mm)
    if measured is None:
        raise InputError(
            f"{args.file}: no edge runs round at --face {args.face}; mark the rim itself, or take the picture nearer."
        )
    typed = f"{args.across}={photo_bench.typed(measured)}"
    from coaxtell.cli.identify import Known
    from coaxtell.identifier.answers import State

    held = Known(args.tables)
    answers.measured(args.across, typed.partition("=")[2], "calliper", looks.load())  # a size that a connector has
    likeliest = None if args.output is None else _picture(args, held, photo, found, measured)
    if args.card is None and not photo_bench.fits_any(held.shortlist(State().setting), args.across, measured):
        raise InputError(
            f"{args.file}: nothing in the tables is {measured.mm:.2f} mm across there; what was taken for the card is "
            f"probably another thing{'' if likeliest is None else ' (cyan in the picture of -o)'}: give the card's "
            "corners with --card, or mark the face anew with --face."
        )
    if args.json:
        # tables and answers that do not serve are refused before anything is told
        port = json.loads(_identify(args, held, typed))
        print(json.dumps(_data(args, photo, found, measured, typed) | {"port": port}, indent=1))
        return 0
    lines = _lines(args, photo, found, measured)
    if likeliest is not None:
        lines.append(
            f"Picture: {args.output}; the green ring must lie on the rim you mean, red is {likeliest} at its size."
        )
    _identify(args, held, typed, "\n".join([*lines, ""]))
    return 0


def _scores(args: argparse.Namespace) -> int:
    from coaxtell.cli import photo_scores

    measuring = {"a photograph": args.file, "--face": args.face, "--card": args.card, "--from": args.start,
                 "--save": args.save, "-o": args.output, "--height": args.height, "--across": args.across}  # fmt: skip
    for name, given in measuring.items():
        if given is not None:
            raise InputError(f"--evaluate scores a folder and takes no {name.removeprefix('a ')}; leave that out.")
    return photo_scores.run(args.evaluate, args.weights, args.json)


def _files_can_be_written(args: argparse.Namespace) -> None:
    files.kind(args.output, "the picture with what was found is a .png file", ".png")
    for path in (args.output, args.save):
        if path is not None:
            files.check(path)
            if path.exists() and args.file.exists() and path.samefile(args.file):
                raise InputError(f"{path} is the photograph itself; name another file to write.")


def _numbers(text: str, count: int, option: str, example: str) -> list[float]:
    parts = re.split(r"[,\s]+", text.strip())
    if len(parts) != count or not all(re.fullmatch(r"\d{1,5}(\.\d{1,3})?", part, re.ASCII) for part in parts):
        raise InputError(f"{option} takes {count} numbers in pixels, such as {example}, not {text[:60]!r}.")
    return [float(part) for part in parts]


def _card(args: argparse.Namespace, photo: Photo, grey: Grey) -> Card:
    """The card: near the given corners, or found."""
    from coaxtell.photo import card

    if args.card is None:
        found = card.find(photo.picture, photo.focal_mm, grey)
        if found is None:
            raise InputError(
                f"{args.file}: no bank card was found; lay one flat beside the port, all its sides in sight, or give "
                f"its corners with --card 'X,Y X,Y X,Y X,Y'."
            )
        return found
    import numpy as np

    given = _numbers(args.card, 8, "--card", "'210,300 900,310 905,740 205,735'")
    found = card.fitted(grey, np.array(given).reshape(4, 2) / photo.shrunk)
    if found is None:
        raise InputError(
            f"{args.file}: no straight sides lie near the corners of --card; give them nearer to the card's."
        )
    return found


def _face(args: argparse.Namespace, photo: Photo, found: Card) -> tuple[Array, float]:
    """The marked circle [px]; without a mark the proposals are told, and the person chooses."""
    import numpy as np

    from coaxtell.photo import rounds

    if args.face is not None and not re.fullmatch(r"\s*\d{1,4}\s*", args.face, re.ASCII):
        x, y, radius = _numbers(args.face, 3, "--face", "1210,640,85")
        rows, columns = photo.picture.shape[:2]
        at = np.array([x, y]) / photo.shrunk
        if radius <= 0:
            raise InputError(f"--face {args.face} has no radius; the third number is that of the rim, in pixels.")
        if not (0 <= at[0] < columns and 0 <= at[1] < rows):
            raise InputError(
                f"--face {args.face} is outside the {columns * photo.shrunk} by {rows * photo.shrunk} pixels."
            )
        return at, radius / photo.shrunk
    # looked for only where nobody has marked the face
    proposed = rounds.proposals(photo.picture, found)
    if args.face is not None and 1 <= int(args.face) <= len(proposed):
        return proposed[int(args.face) - 1]
    if not proposed:
        raise InputError(f"{args.file}: no round face was found; mark it with --face X,Y,R in pixels.")
    listed = "; ".join(
        f"{i}: {','.join(str(round(float(v) * photo.shrunk)) for v in (*middle, radius))}"
        for i, (middle, radius) in enumerate(proposed, 1)
    )
    shown = "-o shows them by number"
    if args.output is not None:
        from PIL import Image

        from coaxtell.photo import overlay

        marked = overlay.numbered(photo.picture, found, proposed)
        files.write(args.output, lambda aside: Image.fromarray(marked).save(aside, "PNG"))
        shown = f"{args.output} shows them by number"
    raise InputError(
        f"{args.file}: say which circle is the face, --face N or X,Y,R in pixels; "
        f"round things seen ({shown}): {listed}."
    )


def _data(args: argparse.Namespace, photo: Photo, found: Card, measured: Width, typed: str) -> dict[str, Any]:
    return {
        "mm": round(measured.mm, 3),
        "plus_minus": round(measured.plus_minus, 3),
        "counted": round(measured.counted, 3),
        "parts": {name: round(part, 4) for name, part in measured.parts.items()},
        "rim_in_sight": round(measured.rim.share, 3),
        "card_px": [[round(float(v) * photo.shrunk, 2) for v in corner] for corner in found.corners],
        "px_per_mm": round(found.px_per_mm * photo.shrunk, 3),
        "measured": typed,
        "to_check": _to_check(args),
        "experimental": photo_bench.EXPERIMENTAL,
        "cautions": list(photo_bench.CAUTIONS),
    }


def _to_check(args: argparse.Namespace) -> list[str]:
    """What must be seen before the width counts: the ring, and the outline of a card that was found by itself."""
    what = f"{photo_bench.CHECK_CARD}, and the ring on the rim that you mean"
    if args.card is not None:
        what = "Check that the ring lies on the rim that you mean"
    if args.output is None:
        return [f"{what}: -o shows it. It was not looked at: until then no width here holds."]
    return [f"{what}: {args.output} shows it, the card in cyan, the ring in green. The plus-minus holds only then."]


def _lines(args: argparse.Namespace, photo: Photo, found: Card, measured: Width) -> list[str]:
    return [
        *_to_check(args),
        f"{args.across} {measured.mm:.2f} mm, give or take {measured.plus_minus:.2f} mm "
        f"(measured on drawn photographs: benchmarks/results/photo_width.json)",
        photo_bench.counts(measured),
        photo_bench.EXPERIMENTAL,
        *photo_bench.told(measured, found.px_per_mm * photo.shrunk),
        *(f"Caution: {caution}" for caution in photo_bench.CAUTIONS),
    ]


def _identify(args: argparse.Namespace, held: Known, typed: str, ahead: str = "") -> str:
    """Tell what the width makes of the port after what stands `ahead`, by the command that names ports; as JSON it is
    given back, not told."""
    from coaxtell.cli import identify

    # each as one word, so that no value is taken for an option
    words = [f"--measured={typed}"]
    for option, path in (("--from", args.start), ("--save", args.save)):
        words += [] if path is None else [f"{option}={path}"]
    parser = argparse.ArgumentParser()
    identify.configure(parser)
    given = parser.parse_args([*words, "--json"] if args.json else words)
    given.tables, given.set_aside = args.tables, args.set_aside
    kept = io.StringIO()
    with contextlib.redirect_stdout(kept if args.json else sys.stdout):
        identify.told(given, held, ahead)
    return kept.getvalue()


def _picture(args: argparse.Namespace, held: Known, photo: Photo, found: Card, measured: Width) -> str:
    """The picture with the card, the rim, and the likeliest half's outline at its true size laid over the face;
    returns that half's id."""
    from PIL import Image

    from coaxtell.identifier.answers import State
    from coaxtell.photo import overlay

    likeliest = photo_bench.likeliest(held.shortlist(State().setting), State(), args.across, measured)[0]
    marked = overlay.drawn(photo.picture, found, measured.rim, photo_bench.outlines(likeliest, measured))
    files.write(args.output, lambda aside: Image.fromarray(marked).save(aside, "PNG"))
    return likeliest.id
