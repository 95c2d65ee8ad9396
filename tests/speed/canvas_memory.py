"""How much memory a chart of 16 million squares takes: its arrays, the window, and what drawing adds.

Run it with `python -m tests.speed.canvas_memory [COLUMNS]`. The chart is made in a process of its
own, so that what painting it took is not counted.
"""

import ctypes
import gc
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

from PySide6.QtWidgets import QWidget

from stitchview.chart.fileformat import read_chart
from tests.speed.canvas_speed import (
    PITCHES,
    Bench,
    bench,
    half_done,
    jump_times,
    pan_times,
    whole_times,
    zoom_times,
)
from tests.speed.floor import HEIGHT, WIDTH, FloorWidget, Stage, application

MADE = """
import sys
from pathlib import Path
from stitchview.chart.fileformat import write_chart
from stitchview.chart.harbour.making import make_harbour
size = int(sys.argv[2])
write_chart(make_harbour(size, size, 90, 1), Path(sys.argv[1]))
"""


def resident() -> float:
    """Give the MiB this process holds now, freed memory that the C library keeps by given back first."""
    gc.collect()
    if sys.platform.startswith("linux"):
        ctypes.CDLL(None).malloc_trim(0)
    with open("/proc/self/statm", encoding="ascii") as file:
        return int(file.read().split()[1]) * resource.getpagesize() / 2**20


def visit(it: Bench) -> None:
    """Draw at every zoom, near and far, with marks and a band."""
    for pitch in PITCHES:
        pan_times(it, pitch)
        jump_times(it, pitch)
    zoom_times(it, fresh=False)
    whole_times(it)


def main(size: int) -> None:
    """Measure, and print the figures."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "big.svchart"
        subprocess.run([sys.executable, "-c", MADE, str(path), str(size)], check=True)
        application()
        # What the measuring itself takes is part of the bare window: the floor and one empty window.
        floor, empty = Stage(FloorWidget()), Stage(QWidget(), WIDTH, HEIGHT)
        floor.frame(floor.widget.update)
        bare = resident()
        empty.close()
        chart = read_chart(path)
        marks = half_done(chart)
        loaded = resident()
    arrays = sum(
        array.nbytes
        for table in (chart.parts, chart.lines, chart.points)
        for array in vars(table).values()
        if hasattr(array, "nbytes")
    )
    arrays += chart.squares.nbytes + sum(states.nbytes for states in marks.families)
    it = bench(marks, floor)
    visit(it)
    drawn = resident()
    added = drawn - max(loaded, bare + arrays / 2**20)
    sys.stdout.write(
        f"{size} x {size}: bare window {bare:.0f} MiB, with chart and marks {loaded:.0f} MiB "
        f"(arrays {arrays / 2**20:.0f} MiB), after drawing at every zoom {drawn:.0f} MiB; "
        f"drawing added {added:.0f} MiB (bar 64), all {drawn * 1.048576:.0f} MB (bar 300)\n"
    )
    it.stage.close()
    it.floor.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 4000)
