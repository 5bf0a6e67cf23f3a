"""A picture file as pixels: turned as it was held, of sane size, without what else the file says of its owner.

The only module of this room that reads files. Position, owner and time in the file are not kept: only the lens is read.
"""

from __future__ import annotations

import struct
import warnings
import zlib
from pathlib import Path
from typing import NamedTuple

import cv2
import numpy as np
import numpy.typing as npt
from PIL import Image, ImageOps, UnidentifiedImageError

from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import InputError, RefusedError

MOST_MEGAPIXELS = 50
"""Largest picture that is opened."""
MOST_WEBP = 25
"""Largest WebP that is opened [megapixels]: the library that reads it holds a lossless one more than once."""
WORK_PIXELS = 13_000_000
"""Larger pictures are halved until they are no larger: a rim stays sharp and the memory small."""
LEAST_SIDE = 200
"""A picture with a shorter side shows no rim well enough [px]."""
LENSES = (10, 200)
"""Focal lengths that are believed [mm on a frame 36 mm wide]."""
LENS_35MM, EXIF_IFD, ORIENTATION = 0xA405, 0x8769, 0x0112
"""Tags of Exif (JEITA CP-3451): focal length on 35 mm film, the table that holds it, and how the camera was held."""
STRIP = 64
"""Rows that a large picture gets at a time [px]."""
DEEP = ("I", "I;16", "I;16B", "I;16L", "I;16N")
"""Modes of pixels of sixteen bits."""
PICTURES = ("JPEG", "PNG", "WEBP", "TIFF", "BMP", "GIF")
"""Formats that are opened, beside HEIF where its library is there: Pillow knows more, among them one that is a program
and is run to be read."""
STILL = "MPO"
"""A JPEG with further pictures behind the one that was taken, such as its depth: of phones."""
HEIF = (b"ftypheic", b"ftypheix", b"ftypmif1", b"ftypmsf1", b"ftypheim", b"ftyphevc")
"""How a HEIF file begins, behind its first four bytes (ISO/IEC 23008-12): some bear another name."""
SPARING = ("PNG", "WEBP")
"""Formats of which OpenCV reads a large picture: Pillow holds four bytes of each pixel of a PNG, and more of a WebP."""

PNG_CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
"""Numbers to a pixel of a PNG, by its kind of colour (ISO/IEC 15948, 11.2.2)."""
PNG_PASSES = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))
"""First column and row, and the steps to the next, of each pass of an interlaced PNG (ISO/IEC 15948, 8.2)."""
AT_ONCE = 1 << 20
"""Bytes that are unpacked at a time."""


class Photo(NamedTuple):
    """Pixels (height, width, 3; sRGB) and the lens's focal length on a frame 36 mm wide [mm], where the file says it.

    `shrunk` is how many pixels of the file, along a side, make one of these.
    """

    picture: npt.NDArray[np.uint8]
    focal_mm: float | None
    shrunk: int


def load(path: Path) -> Photo:
    """The picture in a file. Raises InputError, in one sentence, for whatever is not a usable photograph."""
    try:
        if path.exists() and not path.is_file() and not path.is_dir():
            raise RefusedError("photo.no_file", path=str(path))  # what is no file may never end
        formats: tuple[str, ...] = PICTURES
        if path.suffix.lower() in (".heic", ".heif") or _begins(path).startswith(HEIF):
            _register_heif(path)
            formats = (*PICTURES, "HEIF")
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # Pillow's own words on size; ours come below
            with Image.open(path, formats=formats) as image:
                return _pixels(path, image)
    except InputError:
        raise
    except FileNotFoundError:
        raise RefusedError("photo.missing", path=str(path)) from None
    except Image.DecompressionBombError:
        raise RefusedError("photo.too_many", path=str(path), most=MOST_MEGAPIXELS) from None
    except UnidentifiedImageError:
        raise RefusedError("photo.no_picture", path=str(path)) from None
    except OSError as error:
        why = error.strerror or Reason("refused.cut_short")
        raise RefusedError("photo.unread", path=str(path), why=why) from None
    except (ValueError, SyntaxError, EOFError, IndexError, OverflowError, TypeError):
        raise RefusedError("photo.damaged", path=str(path)) from None


def _begins(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(12)[4:]


def _register_heif(path: Path) -> None:
    try:
        import pillow_heif  # type: ignore[import-not-found, unused-ignore]
    except ModuleNotFoundError:
        raise RefusedError("photo.no_heif", path=str(path)) from None
    pillow_heif.register_heif_opener()


def _pixels(path: Path, image: Image.Image) -> Photo:
    width, height = image.size
    if width * height > MOST_MEGAPIXELS * 1_000_000:
        raise RefusedError("photo.too_many", path=str(path), most=MOST_MEGAPIXELS)
    if image.format == "WEBP" and width * height > MOST_WEBP * 1_000_000:
        raise RefusedError("photo.too_many_webp", path=str(path), most=MOST_WEBP)
    if getattr(image, "is_animated", False) and image.format != STILL:
        raise RefusedError("photo.several", path=str(path))
    if min(width, height) < LEAST_SIDE:
        raise RefusedError("photo.too_small", path=str(path), width=width, height=height)
    # a PNG asked for its own Exif decodes all of itself to look behind the pixels: only what stands before them counts
    exif = Image.Image.getexif(image)
    focal = _focal(exif)
    shrink = 1
    while width * height / shrink**2 > WORK_PIXELS:
        shrink *= 2
    if shrink > 1:
        image.draft("RGB", (width // shrink, height // shrink))
    small = _halved(path, image) if shrink == 2 and image.format in SPARING else None
    if small is None:
        small = _reduced(image, max(1, round(max(image.size) / (max(width, height) / shrink))))
    small.getexif()[ORIENTATION] = exif.get(ORIENTATION, 1)
    ImageOps.exif_transpose(small, in_place=True)
    return Photo(np.asarray(small, dtype=np.uint8), focal, shrink)


def _halved(path: Path, image: Image.Image) -> Image.Image | None:
    """A large picture half as wide and high, read with little memory; none where it is to be read in the usual way,
    which says what is wrong with it. Raises InputError for a PNG that cannot be read."""
    png = image.format == "PNG"
    if png:
        image.verify()  # what was cut short is told, not filled with black; this closes the image
        if not _has_all_rows(path):  # OpenCV would tell it beside our sentence, in words of its own
            raise RefusedError("photo.unread", path=str(path), why=Reason("refused.cut_short"))
    flags = cv2.IMREAD_REDUCED_COLOR_2 | cv2.IMREAD_IGNORE_ORIENTATION
    plain = str(path).isascii()  # elsewhere than on Linux it opens no other names
    small = cv2.imread(str(path), flags) if plain else cv2.imdecode(np.fromfile(path, dtype=np.uint8), flags)
    if small is None and png:
        raise RefusedError("photo.damaged", path=str(path))
    return None if small is None else Image.fromarray(cv2.cvtColor(small, cv2.COLOR_BGR2RGB, dst=small))


def _has_all_rows(path: Path) -> bool:
    """Whether the pixels of a PNG, whose chunks were checked, unpack to as many bytes as its size needs."""
    with path.open("rb") as file:
        width, height, depth, colour, interlaced = struct.unpack(">II2B2xB", file.read(29)[16:])
        passes = PNG_PASSES if interlaced else ((0, 0, 1, 1),)
        bits = PNG_CHANNELS[colour] * depth
        missing = 0
        for x, y, across, down in passes:
            columns, rows = -(-(width - x) // across), -(-(height - y) // down)
            # a row begins with the kind of its filter
            missing += rows * (1 + (columns * bits + 7) // 8) if columns > 0 else 0
        file.seek(8)
        packed = zlib.decompressobj()
        while missing > 0 and len(head := file.read(8)) == 8:
            length, kind = struct.unpack(">I4s", head)
            after = file.tell() + length + 4
            while kind == b"IDAT" and length > 0 and missing > 0:
                part = file.read(min(length, AT_ONCE))
                length -= len(part)
                while part and missing > 0:
                    try:
                        missing -= len(packed.decompress(part, AT_ONCE))
                    except zlib.error:
                        return False
                    part = packed.unconsumed_tail
            file.seek(after)
    return missing <= len(packed.flush())  # what was unpacked and did not fit into the last part


def _reduced(image: Image.Image, by: int) -> Image.Image:
    """The picture in RGB, so many times smaller: strip by strip, since a whole copy of a large one is too much."""
    if by == 1:
        return _rgb(image)
    width, height = image.size
    small = Image.new("RGB", (-(-width // by), -(-height // by)))
    for top in range(0, height, STRIP * by):
        strip = image.crop((0, top, width, min(height, top + STRIP * by)))
        small.paste(_rgb(strip).reduce(by), (0, top // by))
    return small


def _rgb(image: Image.Image) -> Image.Image:
    """Pixels of eight bits; Pillow makes everything but the darkest of sixteen white."""
    if image.mode in DEEP:
        image = Image.fromarray((np.clip(np.asarray(image), 0, 65535) // 256).astype(np.uint8))
    return image.convert("RGB")


def _focal(exif: Image.Exif) -> float | None:
    """The focal length on 35 mm film [mm], where the file states a sane one."""
    try:
        value = float(exif.get_ifd(EXIF_IFD).get(LENS_35MM, 0))
    except (ValueError, TypeError, ZeroDivisionError):
        return None
    return value if LENSES[0] <= value <= LENSES[1] else None
