"""Make the contact sheets beside this file from the dimension tables. Run: python assets/make.py [FOLDER]

Each sheet shows the halves of one family at one common scale, as `coaxtell show` pictures them.
"""

from __future__ import annotations

import sys
from pathlib import Path

from coaxtell.models import picture, tables

SHEETS = {
    "sma": ("sma-plug", "sma-jack", "rp-sma-plug", "rp-sma-jack"),
    "tnc": ("tnc-plug", "tnc-jack", "rp-tnc-plug", "rp-tnc-jack"),
    "n": ("n-50-plug", "n-50-jack", "rp-n-plug", "rp-n-jack"),
    "bnc": ("bnc-50-plug", "bnc-50-jack", "rp-bnc-plug", "rp-bnc-jack"),
    "everyday": ("sma-jack", "tnc-jack", "n-50-jack", "bnc-50-jack", "uhf-jack", "f-jack"),
}
SIZE = (1200, 440)
QUALITY = 84


def main(folder: Path) -> None:
    """Write all sheets into `folder`."""
    known = tables.load()
    with picture.Studio() as studio:
        for name, ids in SHEETS.items():
            image = picture.picture([known.half(i) for i in ids], "three-quarter", *SIZE, studio=studio)
            image.save(folder / f"{name}.webp", "WEBP", quality=QUALITY, method=6)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
