"""Name the symbols of a chart after its printed key: by its page and a table of its threads."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.chart.csvkey import read_key_table
from stitchview.chart.model import Chart, KeyEntry
from stitchview.sheets.correcting import named, piles_of
from stitchview.sheets.keymatching import KeyMatch, match_key
from stitchview.sheets.keypage import KeyPage
from stitchview.sheets.papererror import PaperError

UNNAMED = re.compile(r"Symbol \d+\Z|Thread \d+ of the key\Z")
"""What a symbol is called as long as neither a person nor a key table has named it."""


@dataclass(frozen=True, eq=False)
class PrintedKey:
    """A key page and, by the number of the box, what a table says of its threads (empty without one)."""

    page: KeyPage
    threads: Mapping[int, KeyEntry] = field(default_factory=dict)
    doubts: tuple[str, ...] = ()


def printed_key(page: KeyPage, table: Path | None = None) -> PrintedKey:
    """The key page with the threads of a table, whose rows stand in the page's order or number its boxes.

    A table of more or fewer threads than the page has boxes names none, for each name might be one row off.
    Raises `ChartError` for what is no table.
    """
    if table is None:
        return PrintedKey(page, {}, page.doubts)
    rows = read_key_table(table)
    boxes = {box.number for box in page.boxes}
    numbers = {_whole(label): entry for label, entry in rows.items()}
    if 0 not in numbers and len(numbers) == len(rows) and set(numbers) <= boxes:
        return PrintedKey(page, numbers, page.doubts)
    if len(rows) != len(boxes):
        doubt = (
            f"“{table.name}” lists {len(rows):,} threads and the key page shows {len(boxes):,} boxes, so no"
            " thread was named from it."
        )
        return PrintedKey(page, {}, (*page.doubts, doubt))
    return PrintedKey(page, dict(zip(sorted(boxes), rows.values(), strict=True)), page.doubts)


def _whole(label: str) -> int:
    return int(label) if label.isascii() and label.isdigit() and len(label) < 5 else 0


def match_chart(chart: Chart, page: KeyPage) -> KeyMatch:
    """Match the symbols of a chart that was read from paper with the boxes of its key page.

    `KeyPair.symbol` is the key number in the chart. Raises `PaperError` where the chart has none from paper.
    """
    symbols = {number: _picture(chart, number) for number in piles_of(chart)}
    if not symbols:
        raise PaperError(
            "The chart has no symbols from paper that a key could name.", "Read its symbols first."
        )
    return match_key(symbols, page)


def named_by_key(chart: Chart, match: KeyMatch, key: PrintedKey) -> Chart:
    """The chart with its symbols named as the key says; what a person has named stays as it is.

    Where no table tells the thread, a symbol is called by the number of its box down the page.
    """
    for pair in match.pairs:
        entry = chart.key[pair.symbol - 1]
        if UNNAMED.match(entry.name):
            told = key.threads.get(pair.box, replace(entry, name=f"Thread {pair.box} of the key"))
            chart = named(chart, pair.symbol, told)
    return chart


def _picture(chart: Chart, number: int) -> NDArray[np.uint8]:
    content = chart.attachments[chart.key[number - 1].symbol.picture]
    picture = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_GRAYSCALE)
    if picture is None:
        raise PaperError(f"The picture of symbol {number} is damaged.", "Read the sheets again.")
    return np.asarray(picture, np.uint8)


def key_lines(chart: Chart, match: KeyMatch, key: PrintedKey) -> list[str]:
    """What was matched and what was not, for a person."""
    lines = list(key.doubts)
    count = len(match.pairs)
    lines.append(
        f"{count:,} of {len(key.page.boxes):,} entries of the key were found on the chart."
        if count != len(key.page.boxes)
        else f"All {count:,} entries of the key were found on the chart."
    )
    if unsure := [pair for pair in match.pairs if not pair.clear]:
        listed = "; ".join(f"{chart.key[pair.symbol - 1].name} (entry {pair.box})" for pair in unsure)
        lines.append(f"Look at these, because another sign looks nearly the same: {listed}.")
    for symbol, box in match.symbols.items():
        like = f"; it looks most like entry {box}" if box else ""
        lines.append(f"“{chart.key[symbol - 1].name}” was not found in the key{like}.")
    if match.boxes:
        numbers = ", ".join(map(str, match.boxes))
        lines.append(f"Not found on the chart: {'entry' if len(match.boxes) == 1 else 'entries'} {numbers}.")
    return lines
