"""The characters that stand for a key entry in `squares.txt`: which may, and which to give out next."""

import unicodedata
from collections.abc import Collection
from itertools import chain

from stitchview.chart.model import NO_STITCH
from stitchview.errors import ChartError

# Letters and digits that look alike (I l 1, O o 0) are left out, and so are the signs that mean
# something to CSV readers and spreadsheets.
_READABLE = (
    "ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnpqrstuvwxyz23456789#%&*?!<>/~^$"
    "ΓΔΘΛΞΠΣΦΨΩαβγδεζηθλμξπσφψωБДЖИЛФЦЧШЩЭЮЯ"
    "■□▲△▼▽◆◇○●★☆♠♣♥♦♪"
)
_IDEOGRAPHS = range(0x4E00, 0x9FD6)

# Assigned, but drawn as nothing, or a sign that text was already broken.
_INVISIBLE = frozenset("\u2800\u3164\uffa0\ufffc\ufffd\U0001d159")
# These join with a neighbour into one character on the screen.
_JOINING = (
    range(0x1100, 0x1200),
    range(0xA960, 0xA980),
    range(0xD7B0, 0xD800),
    range(0x1F1E6, 0x1F200),
    range(0x1F3FB, 0x1F400),
)
_RIGHT_TO_LEFT = frozenset({"R", "AL", "AN"})


def is_code(text: str) -> bool:
    """Whether `text` may stand for a key entry: one printable character that keeps its place in a row."""
    return not code_fault(text)


def code_fault(text: str) -> str:
    """Why `text` may not be a code, as the end of a sentence; empty when it may."""
    if len(text) != 1:
        return "must be exactly one character"
    if text == NO_STITCH:
        return "must not be the full stop, which stands for no stitch"
    if unicodedata.category(text)[0] not in "LNPS" or text in _INVISIBLE:
        return "must be a character that can be seen by itself"
    if unicodedata.bidirectional(text) in _RIGHT_TO_LEFT:
        return "must not be a character written from right to left"
    joins = any(ord(text) in block for block in _JOINING)
    if joins or not unicodedata.is_normalized("NFC", text):
        return "must not be a character that joins with a neighbour or has a second spelling (NFC)"
    return ""


def allot_codes(count: int, taken: Collection[str] = ()) -> tuple[str, ...]:
    """The next `count` codes in a fixed order, readable ones first, none of them in `taken`.

    Raises `ChartError` when there are not so many (about 20,000).
    """
    used = set(taken)
    found: list[str] = []
    for code in chain(_READABLE, map(chr, _IDEOGRAPHS)):
        if len(found) == count:
            break
        if code not in used:
            found.append(code)
    if len(found) < count:
        raise ChartError(
            f"There are not enough code characters for {count} key entries.", "Use fewer threads."
        )
    return tuple(found)
