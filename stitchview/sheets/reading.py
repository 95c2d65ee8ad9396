"""Read pictures of paper from the files to joined sheets: the whole way, with progress and a way out."""

import os
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.alikepiles import alikeness, loose_piles, loosened, merged_by_overlap
from stitchview.sheets.backstitch import find_lines
from stitchview.sheets.charting import Reading
from stitchview.sheets.debugging import keep_ink, keep_lattice, keep_piles
from stitchview.sheets.dots import find_dots, without_dots
from stitchview.sheets.edgenumbers import edge_numbers
from stitchview.sheets.inkleft import ink_left
from stitchview.sheets.joining import Joined, disagreements, join_sheets
from stitchview.sheets.lattice import Lattice
from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.opening import open_pictures, picture_count
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.sheetreading import NO_PILE, Piles, SheetReading
from stitchview.sheets.sorting import Sorting
from stitchview.sheets.sortingsquares import sort_squares
from stitchview.sheets.straightening import Straight, straighten

LEAST_PITCH, MOST_PITCH = 12, 32

_FINDING, _SORTING, _LINING = 0.5, 0.3, 0.15


class ReadingStopped(PaperError):
    """The reading was stopped when that was asked for; nothing has been written."""

    def __init__(self) -> None:
        super().__init__("The reading was stopped.", "Nothing was written.")


def nobody(_doing: str, _share: float) -> None:
    """Tell nobody how far the reading is."""


def never() -> bool:
    """Never ask to stop."""
    return False


@dataclass(frozen=True)
class Wishes:
    """How to read.

    ``columns`` and ``rows`` of each sheet, where a person says so; ``symbols`` False leaves the symbols
    unread, so that the chart is followed on the picture; ``debug`` is a folder for a picture of every step.
    """

    columns: int | None = None
    rows: int | None = None
    symbols: bool = True
    title: str = ""
    debug: Path | None = None


@dataclass(frozen=True)
class Watch:
    """Who is told how far the reading is, (what is being done, share from 0 to 1), and who may stop it.

    Both are called from the thread that reads, ``cancelled`` often.
    """

    progress: Callable[[str, float], None] = nobody
    cancelled: Callable[[], bool] = never

    def tell(self, doing: str, share: float) -> None:
        """Tell how far the reading is; raises `ReadingStopped` when it is to stop."""
        if self.cancelled():
            raise ReadingStopped
        self.progress(doing, share)


@dataclass(frozen=True, eq=False)
class FoundSheet:
    """A sheet whose lattice is known: its name, the lattice and the straightened picture.

    ``first`` is the chart's (column, row), from 0, that it begins with where the numbers around it tell;
    ``cell`` is where a person has laid it on the table, (column, row) among the other sheets.
    """

    name: str
    lattice: Lattice
    straight: Straight
    first: tuple[int, int] | None = None
    cell: tuple[int, int] | None = None


def read_sheets(paths: Sequence[Path], wishes: Wishes | None = None, watch: Watch | None = None) -> Reading:
    """All sheets in these files, read and joined.

    Raises `PaperError` for what cannot be opened, read or joined, and `ReadingStopped`.
    """
    wishes, watch = wishes or Wishes(), watch or Watch()
    found = find_sheets(paths, wishes, watch)
    sorting = sort_found([sheet.straight for sheet in found], wishes, watch)
    sheets = read_found(found, sorting, wishes, watch)
    watch.tell("Joining the sheets", _FINDING + _SORTING + _LINING)
    if len(sheets) > 1 and sorting is not None:
        sheets, joined = joined_by_content(sheets, sorting)
    else:
        joined = Joined(sheets[0].columns, sheets[0].rows, ((0, 0),), ())
    watch.tell("Read", 1.0)
    return Reading(tuple(sheets), joined, title=wishes.title)


def find_sheets(paths: Sequence[Path], wishes: Wishes, watch: Watch) -> list[FoundSheet]:
    """Open the files, find every sheet's lattice and straighten it: files at once on all cores."""
    if not paths:
        raise PaperError("There is no picture to read.", "Choose at least one picture.")
    watch.tell("Opening the pictures", 0.0)
    # Bad files are told of before the first is worked on.
    for path in paths:
        picture_count(path)
    stop = threading.Event()
    with ThreadPoolExecutor(min(len(paths), os.cpu_count() or 1)) as pool:
        jobs = [pool.submit(_sheets_in, path, wishes, stop) for path in paths]
        try:
            for done, job in enumerate(as_completed(jobs), 1):
                job.result()
                watch.tell(f"Found the squares in {done} of {len(paths)} files", _FINDING * done / len(paths))
        except BaseException:
            stop.set()
            for job in jobs:
                job.cancel()
            raise
    return [sheet for job in jobs for sheet in job.result()]


def _sheets_in(path: Path, wishes: Wishes, stop: threading.Event) -> list[FoundSheet]:
    """The sheets of one file; pages of a PDF without a chart are passed over if another has one."""
    found: list[FoundSheet] = []
    fault: PaperError | None = None
    several = picture_count(path) > 1
    for picture in open_pictures(path):
        if stop.is_set():
            break
        name = f"{path.stem}, page {picture.page}" if several else path.stem
        try:
            lattice = find_lattice(picture, wishes.columns, wishes.rows)
        except PaperError as error:
            fault = fault or error
            if several:
                continue
            raise
        pitch = int(np.clip(round(lattice.pixels_a_square), LEAST_PITCH, MOST_PITCH))
        straight = straighten(picture, lattice, pitch, pitch)
        found.append(FoundSheet(name, lattice, straight, first_square(picture, lattice)))
        if wishes.debug:
            keep_lattice(wishes.debug, name, picture, lattice)
    if not found and fault is not None:
        raise fault
    return found


def first_square(picture: PaperPicture, lattice: Lattice) -> tuple[int, int] | None:
    """The chart's square that the sheet begins with, by the numbers printed around it."""
    told = edge_numbers(picture.grey, lattice.nodes.astype(np.float64)) if lattice.kind == "ruled" else None
    if told is None or told.turns or told.column is None or told.row is None:
        return None
    return told.column, told.row


def sort_found(straights: Sequence[Straight], wishes: Wishes, watch: Watch) -> Sorting | None:
    """The squares of all sheets in piles; None where nobody needs them."""
    if not wishes.symbols and len(straights) == 1:
        return None

    def sorted_so_far(share: float) -> None:
        watch.tell("Sorting the symbols into piles", _FINDING + _SORTING * share)

    return sort_squares(straights, sorted_so_far)


def read_found(
    found: Sequence[FoundSheet], sorting: Sorting | None, wishes: Wishes, watch: Watch
) -> list[SheetReading]:
    """Each sheet with its piles, lines, knots and beads: sheets at once on all cores."""
    sheets = [_sheet(sheet, number, sorting, wishes) for number, sheet in enumerate(found)]
    if sorting is None or not wishes.symbols:
        return sheets
    looked: list[SheetReading] = []
    with ThreadPoolExecutor(min(len(sheets), os.cpu_count() or 1)) as pool:
        jobs = [
            pool.submit(_with_lines, sheet, wishes.debug)
            for sheet, one in zip(sheets, found, strict=True)
            if one.lattice.kind == "ruled"
        ]
        try:
            for done, job in enumerate(jobs, 1):
                looked.append(job.result())
                watch.tell("Looking for back stitch", _FINDING + _SORTING + _LINING * done / len(jobs))
        except BaseException:
            for job in jobs:
                job.cancel()
            raise
    # A plate set from type has no lines over its squares.
    ruled = iter(looked)
    return [
        next(ruled) if one.lattice.kind == "ruled" else sheet
        for sheet, one in zip(sheets, found, strict=True)
    ]


def joined_by_content(sheets: Sequence[SheetReading], sorting: Sorting) -> tuple[list[SheetReading], Joined]:
    """The sheets joined, and their piles made one where squares shown twice say that they are one sign."""
    alike = by_number(sorting)
    table = loose_piles(alike)
    joined = join_sheets([loosened(sheet, table) for sheet in sheets])
    merged = merged_by_overlap(sheets, joined, alike)
    return merged, replace(joined, disagreements=tuple(disagreements(merged, joined.places)))


def by_number(sorting: Sorting) -> NDArray[np.float32]:
    """How alike the piles of a sorting look; the blank one and those without squares are like none."""
    alike = alikeness(sorting.pictures)
    unlike = sorting.sizes[: len(alike)] == 0
    if sorting.blank >= 0:
        unlike[sorting.blank] = True
    alike[unlike] = alike[:, unlike] = -1
    return alike


def numbered(piles: Piles, blank: int) -> Piles:
    """Piles of a sorting as a sheet counts them: 0 for blank, otherwise one more, ``NO_PILE`` for none."""
    return np.where(piles == blank, 0, np.where(piles < 0, NO_PILE, piles + 1)).astype(np.int32)


def _sheet(sheet: FoundSheet, number: int, sorting: Sorting | None, wishes: Wishes) -> SheetReading:
    size = sheet.straight.rows, sheet.straight.columns
    empty = SheetReading(
        sheet.name,
        sheet.straight,
        np.zeros(size, np.int32),
        np.full(size, NO_PILE, np.int32),
        np.zeros(size, np.float32),
        np.zeros(size, np.bool_),
        read=False,
        heavy_columns=sheet.lattice.heavy_columns,
        heavy_rows=sheet.lattice.heavy_rows,
        first=sheet.first,
        cell=sheet.cell,
        doubts=sheet.lattice.doubts,
    )
    if sorting is None:
        return empty
    part = sorting.sheet(number)
    # Where there is no blank pile its number is -1, and that must not be taken for "none".
    blank = sorting.blank if sorting.blank >= 0 else -2
    if wishes.debug:
        keep_piles(wishes.debug, sheet.name, sheet.straight, part.piles)
    return replace(
        empty,
        piles=numbered(part.piles, blank),
        second=numbered(part.second, blank),
        doubt=part.doubt,
        shown=part.shown,
        read=wishes.symbols,
    )


def _with_lines(sheet: SheetReading, debug: Path | None) -> SheetReading:
    ink = ink_left(sheet.straight, sheet.piles)
    dots = find_dots(ink)
    lines = find_lines(without_dots(ink, dots))
    if debug:
        keep_ink(debug, sheet.name, ink, lines, dots)
    return replace(sheet, lines=lines, dots=dots)
