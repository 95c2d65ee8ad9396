"""How long opening a 12-megapixel sheet and finding its lattice take, in times of decoding and warping it.

Run it with `python -m tests.speed.reading_speed [RUNS]`. The sheet has 100 x 140 squares. Nothing is
asserted, because machines are noisy.
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

from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.opening import open_pictures
from stitchview.sheets.paperpicture import PaperPicture
from tests.paper.photographing import photographed
from tests.paper.printing import printed_sheets

COLUMNS, ROWS = 100, 140


def seconds(work: Callable[[], object], runs: int) -> float:
    """The median time of some work."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
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
    megapixels = picture.grey.size / 1e6
    size = f"{lattice.columns} x {lattice.rows} squares"
    sys.stdout.write(f"{megapixels:.1f} megapixels, {size}, {cv2.getNumThreads()} threads\n")
    sys.stdout.write(f"{'step':<12}{'seconds':>9}{'floors':>9}\n")
    steps = ("floor", once), ("opening", opening), ("lattice", finding), ("both", opening + finding)
    for step, took in steps:
        sys.stdout.write(f"{step:<12}{took:>9.3f}{took / once:>9.1f}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
