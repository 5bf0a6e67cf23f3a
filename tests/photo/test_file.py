"""Picture files: turned as they were held, refused in one sentence, kept small in memory."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from coaxtell.models.errors import InputError
from coaxtell.photo.file import EXIF_IFD, LENS_35MM, load


def a_picture(path: Path, size: tuple[int, int] = (600, 400), **how: object) -> Path:
    image = Image.new("RGB", size, (200, 10, 10))
    image.paste((10, 10, 200), (0, 0, size[0] // 2, size[1]))
    image.save(path, **how)  # type: ignore[arg-type]
    return path


def test_a_picture_is_turned_as_it_was_held(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # Exif (JEITA CP-3451): the camera was turned, row 0 is the right side
    photo = load(a_picture(tmp_path / "turned.jpg", exif=exif))
    assert photo.picture.shape == (600, 400, 3)
    assert photo.picture[10, 200, 2] > 150
    assert photo.picture[-10, 200, 0] > 150


def test_the_lens_is_read_and_nothing_else(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif.get_ifd(EXIF_IFD)[LENS_35MM] = 27
    assert load(a_picture(tmp_path / "lens.jpg", exif=exif)).focal_mm == 27
    assert load(a_picture(tmp_path / "plain.png")).focal_mm is None


def test_a_large_picture_is_halved_and_turned(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # Exif (JEITA CP-3451): the camera was turned, row 0 is the right side
    path = tmp_path / "large.png"
    plain = Image.effect_noise((4500, 3001), 60).convert("RGB")
    plain.save(path, exif=exif, compress_level=0)
    photo = load(path)
    assert photo.shrunk == 2
    # of an odd side half a pixel of the file is spread over the whole: never more than one step of brightness here
    whole = np.asarray(plain.resize((2250, 1500), Image.Resampling.BOX).transpose(Image.Transpose.ROTATE_270))
    assert photo.picture.shape == (2250, 1500, 3)
    assert np.abs(photo.picture.astype(int) - whole).mean() < 12


@pytest.mark.parametrize("ending", ["png", "webp"])
def test_a_large_picture_is_halved_as_the_other_library_halves_it(tmp_path: Path, ending: str) -> None:
    """The same file by Pillow, in its own way of averaging two by two; lossless, so nothing else differs."""
    speckled = np.random.default_rng(3).integers(0, 256, (100, 110, 3), dtype=np.uint8)
    colour = Image.fromarray(np.tile(speckled, (30, 41, 1)))
    path = tmp_path / f"large.{ending}"
    colour.save(path, lossless=True, quality=0, method=0, compress_level=1)
    photo = load(path)
    assert photo.shrunk == 2
    assert np.abs(photo.picture.astype(int) - np.asarray(colour.reduce(2))).max() <= 1


def test_a_large_picture_cut_short_is_refused(tmp_path: Path) -> None:
    for ending in ("png", "webp"):
        whole = a_picture(tmp_path / f"whole.{ending}", (4600, 3000), compress_level=1, method=0).read_bytes()
        cut = tmp_path / f"cut.{ending}"
        cut.write_bytes(whole[: len(whole) * 2 // 3])
        with pytest.raises(InputError, match="cut short or damaged"):
            load(cut)


def bad_files(folder: Path) -> list[tuple[Path, str]]:
    whole = a_picture(folder / "whole.jpg").read_bytes()
    files = {
        "text.jpg": (b"no picture at all", "is no picture"),
        "empty.png": (b"", "is no picture"),
        "cut.jpg": (whole[: len(whole) // 2], "cut short or damaged"),
        "held.heic": (b"", "pillow-heif"),
        "held.jpg": (b"\0\0\0\x18ftypheic", "pillow-heif"),
        # such a file is a program that is run to be read
        "program.jpg": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 600 600\nshowpage\n%%EOF\n", "is no picture"),
        "small.png": (a_picture(folder / "s.png", (150, 900)).read_bytes(), "too small"),
        "large.webp": (a_picture(folder / "l.webp", (6400, 4000), method=0).read_bytes(), "too many for a .webp"),
        "large.png": (a_picture(folder / "l.png", (9000, 6000)).read_bytes(), "50 megapixels"),
    }
    for name, (content, _) in files.items():
        (folder / name).write_bytes(content)
    found = [(folder / name, words) for name, (_, words) in files.items()]
    return [*found, (folder / "missing.jpg", "is not there"), (folder, "cannot be read")]


def test_what_is_no_photograph_gets_one_sentence(tmp_path: Path) -> None:
    for path, words in bad_files(tmp_path):
        with pytest.raises(InputError) as error:
            load(path)
        assert words in str(error.value)
        assert "\n" not in str(error.value)


@pytest.mark.parametrize("ending", ["gif", "png", "webp", "tif"])
def test_of_several_pictures_in_one_file_none_is_taken_for_the_one_that_is_meant(tmp_path: Path, ending: str) -> None:
    one, two = Image.effect_noise((300, 240), 60), Image.effect_noise((300, 240), 60)
    path = tmp_path / f"moving.{ending}"
    one.save(path, save_all=True, append_images=[two])
    with pytest.raises(InputError, match="more than one picture"):
        load(path)
    one.save(path)
    assert load(path).picture.shape == (240, 300, 3)


def test_a_photograph_with_another_picture_behind_it_is_the_photograph(tmp_path: Path) -> None:
    """Phones write a depth or a preview behind it (CIPA DC-007, multi-picture format)."""
    one = Image.new("RGB", (300, 240), (200, 10, 10))
    one.save(tmp_path / "port.jpg", format="MPO", save_all=True, append_images=[Image.new("RGB", (300, 240))])
    assert load(tmp_path / "port.jpg").picture[100, 100, 0] > 190


@pytest.mark.needs("linux")
def test_what_never_ends_is_no_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.jpg")
    with pytest.raises(InputError, match="is no file with a picture"):
        load(tmp_path / "pipe.jpg")


@pytest.mark.parametrize("ending", ["png", "tif"])
def test_sixteen_bits_of_grey_are_the_same_picture_as_eight(tmp_path: Path, ending: str) -> None:
    grey = np.random.default_rng(5).integers(0, 256, (240, 320), dtype=np.uint8)
    Image.fromarray(grey.astype(np.uint16) * 257).save(tmp_path / f"deep.{ending}")
    assert (load(tmp_path / f"deep.{ending}").picture == grey[:, :, None]).all()


def test_a_bomb_is_refused_before_it_is_opened(tmp_path: Path) -> None:
    bomb = tmp_path / "bomb.png"
    Image.fromarray(np.zeros((1, 30000), np.uint8)).resize((20000, 20000)).save(bomb)
    with pytest.raises(InputError, match="50 megapixels"):
        load(bomb)


@pytest.mark.needs("linux")
@pytest.mark.parametrize("name", ["large.jpg", "large.png", "large.webp"])
def test_the_largest_pictures_take_less_than_400_mb(tmp_path: Path, name: str) -> None:
    size = (5760, 4320) if name.endswith(".webp") else (8000, 6000)
    path = a_picture(tmp_path / name, size, compress_level=1, method=0)
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from coaxtell.photo import card, file\n"
        "photo = file.load(Path(sys.argv[1]))\n"
        "card.find(photo.picture)\n"
        "status = Path('/proc/self/status').read_text()\n"
        "print(int(status.split('VmHWM:')[1].split()[0]) // 1024)\n"
    )
    out = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True).stdout
    assert int(out) < 400
