"""Names of the entries inside a chart file: which are safe to read from a ZIP and write to a folder."""

import re
import unicodedata
from collections.abc import Iterable

from stitchview.chart.limits import MOST_NAME_BYTES, MOST_NAME_PARTS

MIMETYPE_ENTRY = "mimetype"
CHART_ENTRY = "chart.json"
SQUARES_ENTRY = "squares.txt"
OWN_ENTRIES = (MIMETYPE_ENTRY, CHART_ENTRY, SQUARES_ENTRY)
PICTURES = "pictures/"
MEDIA_TYPE = b"application/x.stitchview.chart+zip"

_BAD_SIGNS = re.compile(r"[\x00-\x1f\x7f-\x9f]")


def name_fault(name: str) -> str:
    """Why an entry may not be called so, as the end of a sentence; empty when it may."""
    parts = name.split("/")
    if "\\" in name or ":" in name or name.startswith("/"):
        return "must be a plain relative name, without drive letters and backslashes"
    if ".." in parts:
        return "must not lead out of the chart by “..”"
    if any(part in ("", ".") or part != part.strip() for part in parts) or _BAD_SIGNS.search(name):
        return "must be made of plain names joined by “/”"
    if len(name.encode("utf-8", "replace")) > MOST_NAME_BYTES or len(parts) > MOST_NAME_PARTS:
        return f"must be at most {MOST_NAME_BYTES} bytes long and {MOST_NAME_PARTS} names deep"
    return "" if _encodable(name) else "must be a name in Unicode"


def is_hidden(name: str) -> bool:
    """Whether a part of the name begins with a dot: such entries are no part of a chart."""
    return any(part.startswith(".") for part in name.split("/"))


def doubled(names: Iterable[str]) -> list[str]:
    """Names that stand for a file another name already stands for, on file systems that fold case."""
    seen: set[str] = set()
    twice = []
    for name in names:
        folded = unicodedata.normalize("NFC", name).casefold()
        if folded in seen:
            twice.append(name)
        seen.add(folded)
    return twice


def shown_name(name: str) -> str:
    """The name for a sentence, without anything that would disturb the screen."""
    plain = "".join(sign if sign.isprintable() else "�" for sign in name)
    return f"“{plain}”" if len(plain) <= 80 else f"“{plain[:80]}…”"


def _encodable(name: str) -> bool:
    return not any("\ud800" <= sign <= "\udfff" for sign in name)
