"""How long it takes from process start to the first frame at the resumed place, against an empty window.

Run it with `python -m tests.speed.start_speed [ROUNDS]`. Both processes use the same interpreter,
offscreen; they are started in turn, and the middle of all rounds counts.
"""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SAMPLE = Path(__file__).resolve().parents[2] / "samples" / "harbour-at-dusk.svchart"

EMPTY = """
import os
from PySide6.QtWidgets import QApplication, QMainWindow
class Empty(QMainWindow):
    painted = False
    def paintEvent(self, event):
        self.painted = True
app = QApplication([])
window = Empty()
window.resize(1280, 800)
window.show()
while not window.painted:
    app.processEvents()
os._exit(0)
"""

# The program as it is started, but that it leaves as soon as its canvas has painted.
OURS = """
import os, sys
from stitchview.__main__ import main
import PySide6.QtWidgets as widgets
def until_painted(*_):
    from stitchview.canvas.chartcanvas import ChartCanvas
    painted = []
    drawing = ChartCanvas.paintEvent
    def paint(canvas, event):
        drawing(canvas, event)
        painted.append(canvas)
    ChartCanvas.paintEvent = paint
    while not painted:
        widgets.QApplication.processEvents()
    if len(sys.argv) > 2:
        for window in widgets.QApplication.topLevelWidgets():
            window.close()
        return 0
    os._exit(0)
widgets.QApplication.exec = until_painted
main([sys.argv[1]])
"""


def seconds(code: str, *arguments: str) -> float:
    """Give the wall time of a child process that runs `code`."""
    begun = time.perf_counter()
    subprocess.run([sys.executable, "-c", code, *arguments], check=True, env=_environment())
    return time.perf_counter() - begun


def _environment() -> dict[str, str]:
    """Give the environment, with compiled modules kept as those of an installed program are."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def main(rounds: int) -> None:
    """Measure, and print the figures."""
    with tempfile.TemporaryDirectory() as folder:
        for name in ("HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
            os.environ[name] = folder
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
        chart = Path(folder) / SAMPLE.name
        shutil.copy(SAMPLE, chart)
        seconds(OURS, str(chart), "and close properly, so that there is a place to resume at")
        empty, ours = [], []
        for _ in range(rounds):
            empty.append(seconds(EMPTY))
            ours.append(seconds(OURS, str(chart)))
    floor, here = statistics.median(empty), statistics.median(ours)
    sys.stdout.write(
        f"empty window {floor * 1000:.0f} ms, sample at its resumed place {here * 1000:.0f} ms: "
        f"{here / floor:.2f} x (bar 1.6 x)\n"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
