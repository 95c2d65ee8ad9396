"""How long it takes from process start to the first picture of the chart, and until it can be worked on.

Run it with `python -m tests.speed.start_speed [ROUNDS]`. All processes use the same interpreter,
offscreen; they are started in turn, and the middle of all rounds counts. The first picture is the
big sample at its resumed place, painted on the window; it can be worked on when a key has moved the
view and the canvas has painted that. Both are held against an empty window painted once.
"""

import json
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SAMPLE = Path(__file__).resolve().parents[2] / "samples" / "harbour-at-dusk.svchart"
BAR = 1.6
# Without a word Qt's screen that is none has 800 x 800 pixels, too few for the window as it usually is.
SCREEN = {"name": "desk", "x": 0, "y": 0, "width": 1920, "height": 1080,
          "logicalDpi": 96, "logicalBaseDpi": 96, "dpr": 1.0}  # fmt: skip

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

# The program as it is started, but that it leaves when its window has been painted once: with the
# picture of the chart (0), or without one (3).
FIRST = """
import os, sys
from stitchview.__main__ import main
import stitchview.ui.front as front
opening = front.open_front
def open_front(paths):
    opened = opening(paths)
    os._exit(0 if opened.curtain.painted and opened.curtain.shows_chart else 3)
front.open_front = open_front
main([sys.argv[1]])
"""

# The program as it is started, but that it leaves when a key has moved the view.
USED = """
import os, sys
from stitchview.__main__ import main
import PySide6.QtWidgets as widgets
def until_used(*_):
    from PySide6.QtTest import QTest
    from PySide6.QtCore import Qt
    from stitchview.canvas.chartcanvas import ChartCanvas
    canvas = next(each for each in widgets.QApplication.allWidgets() if isinstance(each, ChartCanvas))
    begun, seen = canvas.view, []
    drawing = ChartCanvas.paintEvent
    def paint(canvas, event):
        drawing(canvas, event)
        seen.append(canvas.view)
    ChartCanvas.paintEvent = paint
    if len(sys.argv) > 2:
        widgets.QApplication.processEvents()
        for window in widgets.QApplication.topLevelWidgets():
            window.close()
        return 0
    QTest.keyClick(canvas, Qt.Key.Key_Plus, Qt.KeyboardModifier.NoModifier)
    while begun in seen or not seen:
        widgets.QApplication.processEvents()
    os._exit(0 if seen[-1] != begun else 3)
widgets.QApplication.exec = until_used
main([sys.argv[1]])
"""


def seconds(code: str, *arguments: str) -> tuple[float, float]:
    """Give the wall time and the CPU time of a child process that runs `code`."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begun = time.perf_counter()
    subprocess.run([sys.executable, "-c", code, *arguments], check=True, env=_environment())
    wall = time.perf_counter() - begun
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def _environment() -> dict[str, str]:
    """Give the environment, with compiled modules kept as those of an installed program are."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def main(rounds: int) -> None:
    """Measure, and print the figures."""
    with tempfile.TemporaryDirectory() as folder:
        for name in ("HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
            os.environ[name] = folder
        screen = Path(folder) / "screen.json"
        screen.write_text(json.dumps({"screens": [SCREEN]}), encoding="ascii")
        os.environ["QT_QPA_PLATFORM"] = f"offscreen:configfile={screen}"
        chart = Path(folder) / SAMPLE.name
        shutil.copy(SAMPLE, chart)
        seconds(USED, str(chart), "and close properly, so that there is a place to resume at")
        kinds = {"empty window": EMPTY, "first picture of the sample": FIRST, "a key moves it": USED}
        times: dict[str, list[tuple[float, float]]] = {kind: [] for kind in kinds}
        for _ in range(rounds):
            for kind, code in kinds.items():
                times[kind].append(seconds(code, str(chart)))
                # Left in haste, it takes the sign that the chart is open with it; a next start would be wary.
                for sign in Path(folder).rglob("*.lock"):
                    sign.unlink()
    sys.stdout.write(_told(times))


def _told(times: dict[str, list[tuple[float, float]]]) -> str:
    lines, floors = [], [0.0, 0.0]
    for kind, each in times.items():
        wall, cpu = (statistics.median(column) for column in zip(*each, strict=True))
        floors = [floors[0] or wall, floors[1] or cpu]
        lines.append(
            f"{kind}: {wall * 1000:.0f} ms, {wall / floors[0]:.2f} x;"
            f" CPU {cpu * 1000:.0f} ms, {cpu / floors[1]:.2f} x"
        )
    lines[1] += f" (bar {BAR} x)"
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
