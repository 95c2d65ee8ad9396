"""A sofa to sit on of an evening: it opens the window and has hands with a mouse and a keyboard."""

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QListWidget, QMenu, QWidget
from pytestqt.qtbot import QtBot

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.desk import Desk
from stitchview.canvas.rulers import Ruler
from stitchview.done.change import DONE, Selection
from stitchview.ui.charts import Charts
from stitchview.ui.deeds import Deeds
from stitchview.ui.program import Program
from stitchview.ui.settings import open_settings
from stitchview.ui.sitting import Sitting
from stitchview.ui.window import Window

Square = tuple[int, int]


@dataclass
class Sofa:
    """Where she sits of an evening: opens the window, works with hands and keys, closes it again."""

    app: QApplication
    qtbot: QtBot
    folder: Path
    program: Program | None = None
    before: list[Program] = field(default_factory=list)

    def sit_down(self, path: Path | None = None) -> Program:
        """Start the program in a window of a known size, with a chart or as it starts by itself."""
        return self.start(path, (1000, 700))

    def start(self, path: Path | None = None, size: tuple[int, int] | None = None) -> Program:
        """Start the program, in a window of the size it had unless another is given."""
        if self.program is not None:
            self.before.append(self.program)
        self.program = program = Program(self.app, open_settings())
        if size is not None:
            program.window.resize(*size)
        program.window.show()
        self.qtbot.waitExposed(program.window)
        program.begin(path)
        program.window.activateWindow()
        # A dialog that says what went wrong may be the active one.
        self.qtbot.waitUntil(lambda: self._is_before_her(self.app.activeWindow()))
        return program

    def _is_before_her(self, active: QWidget | None) -> bool:
        return active is not None and self.window in (active, active.parentWidget())

    def get_up(self) -> bool:
        """Close the window; whether it closed."""
        closed = self.window.close()
        if closed and self.program is not None:
            self.before.append(self.program)
            self.program = None
        return closed

    @property
    def window(self) -> Window:
        assert self.program is not None
        return self.program.window

    @property
    def sitting(self) -> Sitting:
        assert self.program is not None
        assert self.program.charts.sitting is not None
        return self.program.charts.sitting

    @property
    def charts(self) -> Charts:
        assert self.program is not None
        return self.program.charts

    @property
    def works(self) -> Deeds:
        return self.sitting.works

    @property
    def desk(self) -> Desk:
        return self.sitting.desk

    @property
    def canvas(self) -> ChartCanvas:
        return self.sitting.board.canvas

    @property
    def rulers(self) -> dict[str, Ruler]:
        """The rulers by the names that a screen reader tells."""
        return {ruler.accessibleName(): ruler for ruler in self.sitting.board.findChildren(Ruler)}

    def press(self, *keys: str) -> None:
        """Press keys, each written as Qt writes them, on whatever has the keyboard (the chart at first)."""
        for key in keys:
            QTest.keySequence(QApplication.focusWidget() or self.window, QKeySequence(key))

    def choose(self, name: str) -> None:
        """Choose an action in its menu."""
        assert self.program is not None
        command = self.program.menus.commands[name]
        menus = [action.menu() for action in self.window.menuBar().actions()]
        assert any(command in menu.actions() for menu in menus if isinstance(menu, QMenu))
        assert command.isEnabled()
        command.trigger()

    def put_pointer(self, square: Square) -> None:
        """Put the keyboard pointer on a square, by key: from where it comes up step by step."""
        self.press("Shift+Right")
        column, row = self.canvas.showing.pointers.cursor or square
        self.press(*["Shift+Right" if square[0] > column else "Shift+Left"] * abs(square[0] - column))
        self.press(*["Shift+Down" if square[1] > row else "Shift+Up"] * abs(square[1] - row))
        assert self.canvas.showing.pointers.cursor == square

    def put_pointer_anywhere(self) -> None:
        """Bring the keyboard pointer up where it comes up by itself."""
        self.press("Shift+Right")
        assert self.canvas.showing.pointers.cursor is not None

    def mark(self, square: Square) -> None:
        """Mark one square through the desk, to have something to unpick."""
        flat = np.array([square[1] * self.desk.chart.columns + square[0]])
        self.desk.mark(Selection(squares=flat), DONE)

    def place_of(self, square: Square) -> QPoint:
        """Where the middle of a square is on the canvas, in logical pixels."""
        view, ratio = self.canvas.view, self.canvas.devicePixelRatioF()
        x, y = view.pixel_of(square[0] + 0.5, square[1] + 0.5)
        return QPoint(round(x / ratio), round(y / ratio))

    def click(self, square: Square, button: Qt.MouseButton = Qt.MouseButton.LeftButton) -> None:
        """Click a square."""
        QTest.mouseClick(self.canvas, button, Qt.KeyboardModifier.NoModifier, self.place_of(square))

    def click_line(self, lines: QListWidget, row: int) -> None:
        """Click a line of a list."""
        left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
        place = lines.visualItemRect(lines.item(row)).center()
        QTest.mouseClick(lines.viewport(), left, none, place)

    def press_card(self, name: str) -> None:
        """Press the card of the piece whose file is called so, in the workbasket."""
        page = self.window.empty
        row = next(at for at, face in enumerate(page.model.faces) if face.piece.path.stem == name)
        index = page.model.index(row)
        page.cards.scrollTo(index)
        place = page.cards.visualRect(index).center()
        QTest.mouseClick(page.cards.viewport(), Qt.MouseButton.LeftButton, pos=place)
        self.app.processEvents()

    def double_click(self, square: Square) -> None:
        """Click a square twice quickly."""
        left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
        place = self.place_of(square)
        QTest.mouseClick(self.canvas, left, none, place)
        QTest.mouseDClick(self.canvas, left, none, place)

    def point_at(self, square: Square) -> None:
        """Move the mouse over a square."""
        QTest.mouseMove(self.canvas, self.place_of(square))

    def point_away(self) -> None:
        """Move the mouse off the chart."""
        QApplication.sendEvent(self.canvas, QEvent(QEvent.Type.Leave))

    def drag(self, *squares: Square) -> None:
        """Draw from square to square."""
        left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
        QTest.mousePress(self.canvas, left, none, self.place_of(squares[0]))
        for square in squares[1:]:
            QTest.mouseMove(self.canvas, self.place_of(square))
        QTest.mouseRelease(self.canvas, left, none, self.place_of(squares[-1]))
