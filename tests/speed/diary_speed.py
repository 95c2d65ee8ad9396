"""How long the window is held up by the diary of a big chart with many sittings, and by a full workbasket.

Run it with `python -m tests.speed.diary_speed [SIDE [SITTINGS]]` (4000 and 300 where none are given). It
prints CPU milliseconds: of the window's own thread, which is what she feels, in floors of the same
process, and of the thread beside it. Nothing is asserted, because machines are noisy.
"""

import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import numpy as np
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QWidget

from stitchview.canvas.basketpicture import LONGEST, save_card_picture
from stitchview.canvas.desk import Desk
from stitchview.chart.area import Area
from stitchview.chart.harbour.making import make_harbour
from stitchview.chart.model import Chart
from stitchview.done.basket import Basket, Piece
from stitchview.done.change import DONE
from stitchview.done.history import Maker
from stitchview.done.joining import Piece as ChartPiece
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import StitchviewError
from stitchview.ui.diary.diarywindow import DiaryWindow
from stitchview.ui.emptypage import EmptyPage
from tests.speed.floor import Stage, application, floor_timing

STROKES, SIDE, SITTINGS, PIECES, MARKS = 60, 4000, 300, 200, 12
HOUR_MS = 3_600_000


class Nobody:
    """Opens nothing."""

    def chart_asked(self) -> None:
        """Ask for nothing."""

    def open_piece(self, piece: Piece) -> None:
        """Open nothing."""

    def piece_taken_out(self, piece: Piece) -> None:
        """Nothing else knows of it."""

    def basket_failed(self, error: StitchviewError) -> None:
        """Say it here."""
        say(str(error))


@contextmanager
def timed(told: Callable[[float, float], None]) -> Iterator[None]:
    """Tell the CPU milliseconds of this thread, and of all others, that a block took."""
    here, everywhere = time.thread_time(), time.process_time()
    yield
    mine = time.thread_time() - here
    told(mine * 1000, (time.process_time() - everywhere - mine) * 1000)


def evenings(chart: Chart, path: Path, sittings: int) -> None:
    """Sittings of sixty strokes each, five hours apart, all over the chart."""
    opened = open_layer(path, chart, path.parent / "elsewhere", "sofa")
    random, clock = np.random.default_rng(5), [1_600_000_000_000]
    maker = Maker("sofa", clock=lambda: clock[0])
    for _ in range(sittings):
        clock[0] += 5 * HOUR_MS
        for _ in range(STROKES):
            clock[0] += 60_000
            corner = random.integers(0, min(chart.squares.shape) - 12, 2)
            area = Area(int(corner[0]), int(corner[1]), 10, 4)
            change = change_to(opened.marks, rectangle(chart, area, Takes()), DONE)
            if change is not None:
                opened.marks.apply(change)
                opened.layer.put(maker.stroke("mark", change=change))
        opened.layer.commit()
    opened.layer.close()


def settle(window: DiaryWindow) -> float:
    """Wait until the diary shows all; gives the longest the window's thread was busy at one go, in ms."""
    longest = 0.0
    while not window.settled:
        begun = time.thread_time()
        QCoreApplication.processEvents()
        longest = max(longest, (time.thread_time() - begun) * 1000)
        time.sleep(0.001)
    return longest


def diary(side: int, sittings: int, floor: float) -> None:
    """Open the diary, then mark beside it: what the window's thread pays, and the other."""
    chart = make_harbour(side, side, 90, 17)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "harbour.svchart"
        evenings(chart, path, sittings)
        desk, parent = Desk(open_layer(path, chart, Path(folder) / "elsewhere", "sofa")), QWidget()
        piece = ChartPiece(path, chart, Path(folder) / "elsewhere")
        with timed(tell(f"make the diary's window, {side} x {side}, {sittings} sittings", floor)):
            window = DiaryWindow(desk, piece, "Harbour", parent, lambda _: None)
            window.show()
        with timed(tell("first reckoning", floor)):
            window.refresh()
            longest = settle(window)
        say(f"| longest at one go | {longest:.1f} | {longest / floor:.1f} | |")
        for number in range(MARKS):
            area = Area(50 * number, 200, 40, 4)
            desk.mark(rectangle(chart, area, Takes()), DONE)
            if number < MARKS - 3:
                continue
            with timed(tell(f"again after mark {number + 1}", floor)):
                window.refresh()
                longest = settle(window)
            say(f"| longest at one go | {longest:.1f} | {longest / floor:.1f} | |")
        with timed(tell("choose another sitting", floor)):
            window.new.sittings.setCurrentRow(sittings // 2)
            longest = settle(window)
        say(f"| longest at one go | {longest:.1f} | {longest / floor:.1f} | |")
        window.end()
        desk.close()
        parent.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def workbasket(floor: float) -> None:
    """Open a basket of two hundred pieces, each with its picture."""
    with tempfile.TemporaryDirectory() as folder:
        basket, image = Basket(Path(folder)), QImage(LONGEST, LONGEST, QImage.Format.Format_RGB32)
        random = np.random.default_rng(1)
        for number in range(PIECES):
            path = Path(folder) / f"piece {number}.svchart"
            path.touch()
            base = Piece(f"{number:032}", path, f"Harbour {number}", 400, 400, 160_000, 800 * number)
            basket.put(replace(base, last_ms=1_700_000_000_000 + number))
            image.fill(QColor(*random.integers(0, 255, 3).tolist()))
            save_card_picture(image, basket.picture_of(base.name))
        with timed(tell(f"make the workbasket with {PIECES} pieces", floor)):
            page = EmptyPage(Nobody(), basket)
        with timed(tell("first picture of it", floor)):
            stage = Stage(page, 1280, 800)
        with timed(tell("read it anew", floor)):
            stage.frame(lambda: page.show_charts(()))
        with timed(tell("find by a letter", floor)):
            stage.frame(lambda: page.search.setText("7"))
        stage.close()


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def tell(name: str, floor: float) -> Callable[[float, float], None]:
    """A line of the table."""

    def line(mine: float, others: float) -> None:
        say(f"| {name} | {mine:.1f} | {mine / floor:.1f} | {others:.0f} |")

    return line


def main() -> None:
    """Print the table."""
    side = int(sys.argv[1]) if len(sys.argv) > 1 else SIDE
    sittings = int(sys.argv[2]) if len(sys.argv) > 2 else SITTINGS
    application()
    floor = floor_timing().p50
    say(f"floor: {floor:.2f} ms\n\n| | window's thread, ms | floors | other threads, ms |\n|---|---|---|---|")
    workbasket(floor)
    diary(side, sittings, floor)


if __name__ == "__main__":
    main()
