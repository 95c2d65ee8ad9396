"""How people write a number of skeins and a colour in a list, read without guessing."""

import re
import unicodedata

from stitchview.chart.colour import Colour
from stitchview.plan.stash import MOST_SKEINS

# A whole or decimal number, a fraction, or both ("1 1/2"); a sign before, "skeins" or "x" after.
_AMOUNT = re.compile(
    r"(?P<sign>[-+−]?)\s*(?P<number>\d+(?:[.,]\d+)?(?![\d/⁄])|[.,]\d+)?\s*"
    r"(?:(?P<top>\d+)\s*[/⁄]\s*(?P<bottom>\d+))?\s*(?:skeins?|x|×)?",
    re.IGNORECASE | re.ASCII,
)
# Half the world writes 1,500 for one and a half, the other half for fifteen hundred.
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}", re.ASCII)
_HEX = re.compile(r"#?([0-9a-f]{6}|[0-9a-f]{3})", re.IGNORECASE | re.ASCII)
_PARTS = re.compile(
    r"(?:rgb)?\s*\(?\s*(\d{1,3})[\s,;]+(\d{1,3})[\s,;]+(\d{1,3})\s*\)?", re.IGNORECASE | re.ASCII
)
_LONGEST = 40


def skeins_of(text: str) -> float | None:
    """The skeins in a cell, None for an empty one: "2", "1.5", "1,5", "½", "1 1/2", "3 skeins".

    Raises `ValueError` with a clause for what cannot be so.
    """
    plain = _spelt(text)
    if not plain:
        return None
    shown = f"“{text.strip()[:_LONGEST]}”"
    found = _AMOUNT.fullmatch(plain)
    if len(plain) > _LONGEST or not found or not (found["number"] or found["top"]):
        raise ValueError(f"the skeins must be a number, not {shown}")
    if _THOUSANDS.fullmatch(found["number"] or ""):
        raise ValueError(f"the skeins {shown} can be read in two ways: write 1.5 or 1500")
    if found["bottom"] and not int(found["bottom"]):
        raise ValueError(f"the skeins cannot be {shown}")
    amount = float((found["number"] or "0").replace(",", "."))
    amount += int(found["top"]) / int(found["bottom"]) if found["top"] else 0
    if found["sign"] in ("-", "−") and amount:
        raise ValueError(f"the skeins cannot be less than none, but are {shown}")
    if amount > MOST_SKEINS:
        raise ValueError(f"the skeins must be {MOST_SKEINS:,} at most, not {shown}")
    return amount


def colour_of(text: str) -> Colour | None:
    """The colour in a cell, None for an empty one: "#4A5B6C", "4a5b6c", "#abc", "74, 91, 108", "rgb(...)".

    Raises `ValueError` with a clause for anything else.
    """
    plain = text.strip()
    if not plain:
        return None
    if found := _HEX.fullmatch(plain):
        digits = found[1] if len(found[1]) == 6 else "".join(2 * digit for digit in found[1])
        return Colour.from_hex(f"#{digits}")
    if found := _PARTS.fullmatch(plain):
        parts = [int(part) for part in found.groups()]
        if max(parts) <= 255:
            return Colour(*parts)
    raise ValueError(f"the colour must be written as #RRGGBB, not “{plain[:_LONGEST]}”")


def _spelt(text: str) -> str:
    """The text with signs such as ½ written out as 1/2, a space before."""
    return "".join(
        f" {unicodedata.normalize('NFKC', sign)}" if unicodedata.category(sign) == "No" else sign
        for sign in text[: 2 * _LONGEST]
    ).strip()
