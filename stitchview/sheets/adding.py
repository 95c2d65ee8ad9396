"""Read the next sheet of a chart there is, or one of its sheets again, and lay it where it belongs."""

from collections.abc import Sequence
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart, Sheet
from stitchview.sheets.alikepiles import loose_piles, loosened
from stitchview.sheets.charting import UNREAD_NAME, Reading, chart_of
from stitchview.sheets.joining import best_link, join_sheets
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.reading import (
    FoundSheet,
    Watch,
    Wishes,
    by_number,
    find_sheets,
    numbered,
    read_found,
    sort_found,
)
from stitchview.sheets.rereading import laid_onto
from stitchview.sheets.sheetreading import NO_PILE, Piles, SheetReading
from stitchview.sheets.sorting import Sorting
from stitchview.sheets.straightening import Straight

_SYMBOLS = "pictures/symbols/"
_MOST_OF = 0.5


def read_onto(
    old: Chart, paths: Sequence[Path], wishes: Wishes | None = None, watch: Watch | None = None
) -> tuple[Chart, Reading]:
    """``old`` with the sheets of these files added or read again, and the reading of the new ones.

    The old sheets' own pictures are sorted together with the new ones, so that a new sheet's symbols are
    known by the key there is and its place by the squares it repeats. Raises `PaperError` when the old chart
    has no pictures of its sheets, or when a new sheet cannot be placed.
    """
    wishes, watch = wishes or Wishes(), watch or Watch()
    _known_sheets(old)
    return read_found_onto(old, find_sheets(paths, wishes, watch), wishes, watch)


def read_found_onto(
    old: Chart, found: Sequence[FoundSheet], wishes: Wishes, watch: Watch
) -> tuple[Chart, Reading]:
    """The same for sheets whose squares were found already: beside the old ones, or in the place of one."""
    known = _known_sheets(old)
    straights = [*(sheet.straight for sheet in found), *(straight for _, straight in known)]
    # The symbols are sorted even where they stay unread, to find where the sheets belong.
    sorting = sort_found(straights, wishes, watch)
    assert sorting is not None
    sheets = read_found(found, sorting, wishes, watch)
    watch.tell("Joining the sheets", 0.95)
    table = loose_piles(by_number(sorting))
    joined = join_sheets([loosened(sheet, table) for sheet in sheets])
    reading = Reading(tuple(sheets), joined, title=old.title)
    fresh = chart_of(reading)
    old_piles = _laid_piles(old, [sheet for sheet, _ in known], sorting, len(found))
    loose = np.where(old_piles < 0, NO_PILE, table[old_piles]).astype(np.int32)
    placing = [loosened(sheet, table) for sheet in sheets]
    offset = _offset(loose, placing, joined.places, (joined.rows, joined.columns))
    return laid_onto(old, fresh, offset, _known_numbers(old, fresh, old_piles)), reading


def _known_sheets(old: Chart) -> list[tuple[Sheet, Straight]]:
    """The old chart's sheets as straightened pictures; raises `PaperError` where there is none."""
    known = [(sheet, straight_of(old, sheet)) for sheet in old.sheets if sheet.picture]
    if not known:
        raise PaperError(
            "The chart has no pictures of its sheets, so nothing tells where another sheet belongs.",
            "Read all sheets together.",
        )
    return known


def straight_of(chart: Chart, sheet: Sheet) -> Straight:
    """A sheet's picture in the chart as the straightened sheet it is, whole pixels a square."""
    content = np.frombuffer(chart.attachments[sheet.picture], np.uint8)
    picture = cv2.imdecode(content, cv2.IMREAD_COLOR)
    if picture is None:
        raise PaperError(f"The picture of “{sheet.name}” is damaged.", "Read all sheets together.")
    pitch = max(8, min(32, round(picture.shape[1] / sheet.area.columns)))
    size = sheet.area.columns * pitch, sheet.area.rows * pitch
    whole = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    framed = cv2.copyMakeBorder(whole, pitch, pitch, pitch, pitch, cv2.BORDER_REPLICATE)
    colour = np.asarray(framed[..., ::-1], np.uint8)
    grey = np.asarray(cv2.cvtColor(framed, cv2.COLOR_BGR2GRAY), np.uint8)
    return Straight(grey, colour, pitch, pitch, sheet.area.columns, sheet.area.rows)


def _laid_piles(old: Chart, known: Sequence[Sheet], sorting: Sorting, first: int) -> Piles:
    """The piles of the old sheets laid out as the old chart is, ``NO_PILE`` where no sheet is known."""
    laid = np.full((old.rows, old.columns), NO_PILE, np.int32)
    blank = sorting.blank if sorting.blank >= 0 else -2
    for number, sheet in enumerate(known, first):
        laid[sheet.area.slices()] = numbered(sorting.sheet(number).piles, blank)
    return laid


def _offset(
    old: Piles, sheets: Sequence[SheetReading], places: Sequence[tuple[int, int]], size: tuple[int, int]
) -> tuple[int, int]:
    """Where the new sheets, joined, lie on the old chart (columns, rows)."""
    new = np.full(size, NO_PILE, np.int32)
    for sheet, (column, row) in zip(sheets, places, strict=True):
        new[row : row + sheet.rows, column : column + sheet.columns] = sheet.piles
    fit = best_link(_bare(old, sheets[0]), _bare(new, sheets[0]))
    if fit is None:
        names = " and ".join(f"“{sheet.name}”" for sheet in sheets[:3])
        raise PaperError(
            f"Nothing that {names} shows tells where it belongs on the chart.",
            "Photograph it so that some columns or rows of a sheet that is there already show too.",
        )
    return fit.offset


def _bare(piles: Piles, like: SheetReading) -> SheetReading:
    nothing = np.zeros(piles.shape, np.float32)
    return SheetReading("", like.straight, piles, piles, nothing, nothing > 0)


def _known_numbers(old: Chart, fresh: Chart, old_piles: Piles) -> list[int]:
    """For each fresh key entry the old one that most of its pile's squares on old sheets have, or 0."""
    by_name = {entry.name: number for number, entry in enumerate(old.key, 1)}
    unread = by_name.get(UNREAD_NAME, 0)
    numbers = []
    for entry in fresh.key:
        picture = entry.symbol.picture
        if not picture.startswith(_SYMBOLS):
            numbers.append(by_name.get(entry.name, 0))
            continue
        pile = int(picture.removeprefix(_SYMBOLS).removesuffix(".png"))
        most = _most_of(old.squares[old_piles == pile])
        numbers.append(0 if most == unread else most)
    return numbers


def _most_of(squares: NDArray[np.uint16]) -> int:
    if not len(squares):
        return 0
    counts = np.bincount(squares)
    best = int(counts.argmax())
    return best if counts[best] > _MOST_OF * len(squares) else 0
