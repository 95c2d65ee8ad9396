"""Take the odd ones out of a pile: squares that found a pile of their own, with a symbol cut from them."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.codes import allot_codes
from stitchview.chart.model import MOST_KEY_ENTRIES, Chart, KeyEntry, Symbol
from stitchview.sheets.correcting import decided
from stitchview.sheets.cutouts import symbol_from
from stitchview.sheets.papererror import PaperError

Places = NDArray[np.intp]
_SYMBOLS = "pictures/symbols/"


def split_off(chart: Chart, places: Places, pictures: NDArray[np.uint8]) -> Chart:
    """The chart with squares (places in rows * columns) in a pile of their own, which is the last of the key.

    ``pictures`` (n, side, side) are the squares' cut-outs, from which the pile's symbol is made. Raises
    `PaperError` when the key is full.
    """
    if len(chart.key) >= MOST_KEY_ENTRIES:
        raise PaperError("The key is full.", "Join piles that are the same symbol first.")
    (code,) = allot_codes(1, [entry.code for entry in chart.key])
    number = _next_number(chart)
    picture = f"{_SYMBOLS}{number}.png"
    entry = KeyEntry(code, Symbol(picture=picture), f"Symbol {number}")
    grown = replace(
        chart,
        key=(*chart.key, entry),
        attachments={**chart.attachments, picture: symbol_from(pictures)},
    )
    return decided(grown, places, len(grown.key))


def _next_number(chart: Chart) -> int:
    """The first number that neither a symbol's picture nor its name has."""
    names = {entry.name for entry in chart.key}
    number = 1
    while f"{_SYMBOLS}{number}.png" in chart.attachments or f"Symbol {number}" in names:
        number += 1
    return number
