"""How long each step of reading a 12-megapixel sheet takes, in times of decoding and warping it once.

Run it with `OPENBLAS_NUM_THREADS=1 python -m tests.speed.reading_speed [RUNS]`, which is how the program
runs (stitchview/__main__.py): else CPU time counts threads that wait for each other. The sheet has
100 x 140 squares. Nothing is asserted, because machines are noisy.
"""

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from stitchview.sheets.backstitch import find_lines
from stitchview.sheets.charting import Reading, chart_of
from stitchview.sheets.dots import find_dots, without_dots
from stitchview.sheets.inkleft import ink_left
from stitchview.sheets.joining import Joined
from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.opening import open_pictures
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.sheetreading import SheetReading
from stitchview.sheets.sorting import Sorting
from stitchview.sheets.sortingsquares import sort_squares
from stitchview.sheets.straightening import Straight, straighten
from tests.paper.photographing import photographed
from tests.paper.printing import printed_sheets

COLUMNS, ROWS = 100, 140


def seconds(work: Callable[[], object], runs: int) -> float:
    """The median processor time of some work, of all cores together, so that other programs count little."""
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return statistics.median(times)


def floor(path: Path) -> None:
    """Decode the photograph once and warp it once, in perspective: nobody can read it with less."""
    pixels = cv2.imread(str(path), cv2.IMREAD_COLOR)
    assert pixels is not None
    matrix = np.array([[1.0, 0.02, -8.0], [0.01, 1.0, 5.0], [1e-6, 2e-6, 1.0]])
    cv2.warpPerspective(pixels, matrix, (pixels.shape[1], pixels.shape[0]), flags=cv2.INTER_LINEAR)


def opened(path: Path) -> PaperPicture:
    """The photograph in memory."""
    return next(open_pictures(path))


def finished(sheet: Straight, sorting: Sorting) -> SheetReading:
    """The sheet with its back stitch, knots and beads."""
    part = sorting.sheet(0)
    ink = ink_left(sheet, part.piles)
    dots = find_dots(ink)
    lines = find_lines(without_dots(ink, dots))
    return SheetReading(
        "Sheet", sheet, part.piles, part.second, part.doubt, part.shown, lines=lines, dots=dots
    )


def main(runs: int) -> None:
    """Measure, and print the figures."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sheet.jpg"
        taken = photographed(printed_sheets(COLUMNS, ROWS, 40, 1).pages[0], "careful", 1)
        Image.fromarray(taken.picture.colour).save(path, quality=92)
        once = seconds(lambda: floor(path), max(runs, 5))
        picture = opened(path)
        lattice = find_lattice(picture)
        opening = seconds(lambda: opened(path), runs)
        finding = seconds(lambda: find_lattice(picture), runs)
        sheet = straighten(picture, lattice, 24, 24)
        pulling = seconds(lambda: straighten(picture, lattice, 24, 24), runs)
        sorting = sort_squares([sheet])
        sorting_took = seconds(lambda: sort_squares([sheet]), runs)
        read = finished(sheet, sorting)
        lining = seconds(lambda: finished(sheet, sorting), runs)
        whole = Reading((read,), Joined(sheet.columns, sheet.rows, ((0, 0),), ()))
        charting = seconds(lambda: chart_of(whole), runs)
    megapixels = picture.grey.size / 1e6
    size = f"{lattice.columns} x {lattice.rows} squares"
    sys.stdout.write(f"{megapixels:.1f} megapixels, {size}, {cv2.getNumThreads()} threads\n")
    sys.stdout.write(f"{'step':<12}{'seconds':>9}{'floors':>9}\n")
    steps = {
        "floor": once,
        "opening": opening,
        "lattice": finding,
        "straight": pulling,
        "sorting": sorting_took,
        "lines": lining,
        "chart": charting,
    }
    steps["all"] = sum(steps.values()) - once
    for step, took in steps.items():
        sys.stdout.write(f"{step:<12}{took:>9.3f}{took / once:>9.1f}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
