"""The file that SQLite keeps beside a record while it is open: whether all of it can be read, by its own check sums.

SQLite passes over what it cannot read there without a word, since an answer half written at a loss of power looks the
same; here it is told. Source of the layout: SQLite's published file format, section 4 (the write-ahead log).
"""

from __future__ import annotations

import struct

HEAD, FRAME_HEAD = 32, 24
"""Bytes before the first frame, and before the page of each."""
MAGIC = 0x377F0682
"""How it begins; one more where the check sums read numbers with the highest byte first."""


def torn(raw: bytes) -> bool:
    """True where something of the present round stands there that cannot be read.

    Frames left over from an earlier round, which carry other salts, are none of it. A file cut just behind a frame
    looks whole.
    """
    if not raw:
        return False
    if len(raw) < HEAD:
        return True
    magic, _, page_size, _, *salts, one, two = struct.unpack(">8I", raw[:HEAD])
    if magic & ~1 != MAGIC:
        return True
    order = ">" if magic & 1 else "<"
    sums = _summed(raw[: HEAD - 8], order, (0, 0))
    if sums != (one, two) or page_size < 512:
        return True
    frame = FRAME_HEAD + page_size
    reached = True
    for at in range(HEAD, len(raw), frame):
        head = raw[at : at + FRAME_HEAD]
        if len(head) < FRAME_HEAD:
            return True
        _, _, *found, one, two = struct.unpack(">6I", head)
        if found != salts:
            reached = False
            continue
        if not reached or len(raw) < at + frame:
            return True
        sums = _summed(raw[at + FRAME_HEAD : at + frame], order, _summed(head[:8], order, sums))
        if sums != (one, two):
            return True
    return False


def _summed(data: bytes, order: str, sums: tuple[int, int]) -> tuple[int, int]:
    """The running check sums behind some more bytes, a multiple of eight (section 4.2)."""
    one, two = sums
    for first, second in struct.iter_unpack(f"{order}2I", data):
        one = (one + first + two) & 0xFFFFFFFF
        two = (two + second + one) & 0xFFFFFFFF
    return one, two
