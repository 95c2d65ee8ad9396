"""An evening gone through without a screen, by real keys and presses, with a picture of every step."""

import json
import os
import tempfile
import uuid
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QCoreApplication, QDeadlineTimer, QEvent, QPoint, QPointF, QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from stitchview.chart.fileformat import read_chart, write_chart, write_folder
from stitchview.errors import CommandError
from stitchview.safefile import write_bytes
from stitchview.ui.opening import chart_of
from stitchview.ui.papertour import PaperSteps
from stitchview.ui.program import Program
from stitchview.ui.run import make_app
from stitchview.ui.sitting import Sitting
from stitchview.ui.tables.plan import PLAN_PAGES
from stitchview.ui.theme import Theme

SIZE = (1280, 800)
NETBOOK = (1024, 600)
# From the middle of the chart, as shares of its size: in the samples a boat lies there.
WHERE = (-0.1, 0.24)
SETTLE_MS = 60
# The place line waits a moment before it says that all is kept.
SAID_MS = 400
PEACE_MS = 5000


class Tour:
    """Walks one chart through an evening; the chart is a copy, so that nobody's marks are touched."""

    def __init__(self, app: QApplication, chart: Path, into: Path, work: Path) -> None:
        self._app, self._chart, self._into, self._work = app, chart, into, work
        self._seen: list[dict[str, Any]] = []
        self._program = self._open_window()
        self._from_paper = PaperSteps(lambda: self._program, chart, work)

    def walk(self) -> list[dict[str, Any]]:
        """Go through all the steps; gives what was seen at each, as `tour.json` holds it."""
        for name, tells, act in self._steps():
            act()
            self._see(name, tells)
        self._close_window()
        return self._seen

    def _steps(self) -> list[tuple[str, str, Callable[[], None]]]:
        return [
            ("opened", "The chart as it opens: whole, with key, overview and place line.", self._nothing),
            ("near", "Zoomed in about the pointer, until every symbol can be read.", self._go_near),
            ("band", "A band over ten rows; everything outside is dimmed.", self._lay_band),
            ("band-moved", "The band moved on by its own height, and one row taller.", self._move_band),
            ("thread-in-hand", "A thread in hand: its squares stand out, others recede.", self._take),
            ("swept", "A sweep with only the thread in hand: a careless drag marks no other.", self._sweep),
            ("thread-in-band", "All of the thread in hand inside the band, marked by one key.", self._thread),
            ("patch", "Another thread: a patch of joined squares marked by one press.", self._patch),
            ("rectangle", "A rectangle of everything, crosses and lines alike.", self._rectangle),
            ("unpicked", "Part of it unpicked again, and one step undone.", self._unpick),
            ("needleful", "The next needleful of another thread: a numbered path.", self._needleful),
            ("called-out", "The band called out run by run; one key steps on.", self._call_out),
            ("worked", "Done squares as woven crosses, so that the piece grows on screen.", self._worked),
            ("paper", "Black symbols on white, as the paper shows them.", self._paper),
            ("frame", "A frame of ten by ten, and the keyboard's own pointer in it.", self._frame),
            ("whole", "The whole chart: what is done is seen from far out.", self._whole),
            ("night", "The same evening in the dark look, near again.", self._night),
            ("resumed", "Closed and opened again: the same place, the last marks shown.", self._resume),
            *((each.name, each.tip, partial(self._keys, each.keys[0])) for each in PLAN_PAGES),
            ("netbook", "The same on a small screen of 1024 x 600.", self._shrink),
            ("alone", "Only the chart, for the whole screen.", self._alone),
            *self._from_paper.steps(),
        ]

    # What is seen

    def _see(self, name: str, tells: str) -> None:
        self._settle()
        window, number = self._program.window, len(self._seen) + 1
        picture = f"{number:02d}-{name}.png"
        if not self._front.grab().save(str(self._into / picture)):
            raise CommandError(
                f"“{picture}” cannot be written in “{self._into.name}”.", "Choose another folder."
            )
        sitting = self._sitting
        total = sitting.desk.tally.total()
        view = window.board.canvas.view if window.board is not None else None
        self._seen.append(
            {
                "picture": picture,
                "step": name,
                "tells": tells,
                "place_line": window.panels.line.sentence,
                "stitches": total.stitches,
                "done": total.done,
                "pixels_a_square": view.pitch if view else 0,
                "middle": [round(at, 2) for at in view.centre] if view else [],
                "waiting_to_be_kept": sitting.desk.keeping.waiting,
            }
        )

    def _settle(self, milliseconds: int = SETTLE_MS) -> None:
        """Let everything that is under way be drawn and kept."""
        until = QDeadlineTimer(milliseconds)
        while not until.hasExpired():
            QCoreApplication.processEvents()
        peace = QDeadlineTimer(PEACE_MS)
        while self._sitting.desk.keeping.waiting and not peace.hasExpired():
            QCoreApplication.processEvents()
        until = QDeadlineTimer(SAID_MS)
        while not until.hasExpired():
            QCoreApplication.processEvents()

    @property
    def _sitting(self) -> Sitting:
        sitting = self._program.charts.sitting
        if sitting is None:
            raise CommandError(
                f"“{self._chart.name}” could not be opened for the tour.", "Try `check` on it."
            )
        return sitting

    @property
    def _front(self) -> QWidget:
        """The planning window or the reading table while they are open, else the window itself."""
        plan = self._sitting.works.cloth.plan.window
        if plan is not None and plan.isVisible():
            return plan
        return self._from_paper.front or self._program.window

    def _open_window(self) -> Program:
        settings = QSettings(str(self._work / "settings.ini"), QSettings.Format.IniFormat)
        program = Program(self._app, settings)
        program.window.resize(*SIZE)
        program.window.show()
        program.begin(self._chart)
        return program

    def _close_window(self) -> None:
        self._program.window.close()
        self._program.window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)

    def _nothing(self) -> None:
        """Only look."""

    def _keys(self, *keys: str) -> None:
        self._front.activateWindow()
        QCoreApplication.processEvents()
        for key in keys:
            QTest.keySequence(self._front, key)
            QCoreApplication.processEvents()

    def _square(self, across: int, down: int) -> QPoint:
        """Give the place on the canvas of a square so far from the middle of the view."""
        board = self._program.window.board
        assert board is not None
        view, ratio = board.canvas.view, board.canvas.devicePixelRatioF()
        column, row = (int(at) for at in view.centre)
        x, y = view.pixel_of(column + across + 0.5, row + down + 0.5)
        return (QPointF(x, y) / ratio).toPoint()

    def _drag(self, start: QPoint, *stops: QPoint) -> None:
        board = self._program.window.board
        assert board is not None
        left, plain = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
        QTest.mousePress(board.canvas, left, plain, start)
        for stop in stops:
            QTest.mouseMove(board.canvas, stop)
            QCoreApplication.processEvents()
        QTest.mouseRelease(board.canvas, left, plain, stops[-1] if stops else start)

    def _point(self, across: int = 0, down: int = 0) -> None:
        board = self._program.window.board
        assert board is not None
        QTest.mouseMove(board.canvas, self._square(across, down))
        QCoreApplication.processEvents()

    def _go_near(self) -> None:
        self._keys("0")
        board = self._program.window.board
        assert board is not None
        view = board.canvas.view
        self._point(round(view.columns * WHERE[0]), round(view.rows * WHERE[1]))
        while board.canvas.view.pitch < 18:
            self._keys("+")

    def _lay_band(self) -> None:
        self._point()
        self._keys("B")

    def _move_band(self) -> None:
        self._keys("Ctrl+Shift+Down", "Alt+Down")

    def _take(self) -> None:
        self._point(2, 6)
        self._keys("K")

    def _sweep(self) -> None:
        self._keys("M", "2", "O")
        self._drag(self._square(-8, 6), self._square(0, 8), self._square(10, 9))

    def _thread(self) -> None:
        self._keys("T")

    def _patch(self) -> None:
        self._keys("O", "Shift+K", "5")
        self._drag(self._square(8, 10))

    def _rectangle(self) -> None:
        self._keys("3")
        self._drag(self._square(12, 6), self._square(15, 9), self._square(22, 13))

    def _unpick(self) -> None:
        self._keys("U")
        self._drag(self._square(15, 8), self._square(18, 10))
        self._keys("Ctrl+Z", "Ctrl+Shift+Z", "M")

    def _needleful(self) -> None:
        self._point(-12, 8)
        self._keys("K", "E")

    def _call_out(self) -> None:
        self._keys("C")

    def _worked(self) -> None:
        self._keys("C", "Escape", "Shift+K", "H", "D")

    def _paper(self) -> None:
        self._keys("P")

    def _frame(self) -> None:
        self._keys("P")
        self._point(16, 9)
        self._keys("F", "Shift+Right", "Shift+Down")

    def _whole(self) -> None:
        self._keys("0")

    def _night(self) -> None:
        self._keys("Backspace")
        self._dress(Theme.DARK)

    def _resume(self) -> None:
        self._dress(Theme.LIGHT)
        self._settle()
        self._close_window()
        self._program = self._open_window()

    def _shrink(self) -> None:
        self._sitting.works.cloth.plan.close()
        self._program.window.resize(*NETBOOK)

    def _alone(self) -> None:
        self._keys("F11")

    def _dress(self, theme: Theme) -> None:
        wishes = self._program.wishes
        wishes.take(replace(wishes.preferences, theme=theme))


def run_tour(chart: Path, into: Path) -> int:
    """Go through an evening with a copy of `chart`; pictures and `tour.json` go to the folder `into`.

    Raises `StitchviewError` when there is no sound chart, or nothing can be written there.
    """
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    chart = chart_of(chart)
    printed = read_chart(chart)
    _make_folder(into)
    with tempfile.TemporaryDirectory(prefix="stitchview-tour-") as folder:
        work = Path(folder)
        copy = work / chart.name
        # Marks that lie elsewhere are found by the chart's identity, so the copy has one of its own.
        write = write_folder if chart.is_dir() else write_chart
        write(replace(printed, identity=str(uuid.uuid4())), copy)
        seen = Tour(make_app(), copy, into, work).walk()
    told = json.dumps({"chart": chart.name, "steps": seen}, indent=2, ensure_ascii=False)
    write_bytes(into / "tour.json", told.encode("utf-8"))
    return len(seen)


def _make_folder(into: Path) -> None:
    try:
        into.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise CommandError(f"“{into.name}” is a file, not a folder.", "Choose another folder.") from None
    except OSError as error:
        told = error.strerror or error
        raise CommandError(f"The folder “{into.name}” cannot be made ({told}).", "Choose another.") from None
