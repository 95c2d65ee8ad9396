"""The window: toolbar, notices, chart, key, overview and place line, and how they share the room."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6 import QtCore
from PySide6.QtCore import QByteArray, QEvent, QSettings, QSize
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QKeyEvent
from PySide6.QtWidgets import QApplication, QMainWindow, QSplitter, QToolBar, QVBoxLayout, QWidget

if TYPE_CHECKING:
    from stitchview.ui.chartboard import ChartBoard
    from stitchview.ui.display import Panels
    from stitchview.ui.emptypage import EmptyPage
from stitchview.ui.screenroom import FRAME

# The window is on the screen before what it holds is loaded, so that it imports nothing of it; and before
# the tables of `Qt` itself are made, which takes longer than the window.

PROGRAM = "stitchview"
USUAL_SIZE = (1280, 800)
# How the width is shared between chart and key, and the height at the side between key, lists and overview.
USUAL_SIDES = (1000, 280)
USUAL_SIDE = (460, 190, 200)
# Words that wrap may ask for another line once they know their width, and so on inwards.
LAYOUT_ROUNDS = 3
_GEOMETRY, _ACROSS, _DOWN = "window/geometry", "window/across", "window/side"


class WindowListener(Protocol):
    """Who acts on what happens to the window."""

    def may_close(self) -> bool:
        """Put everything away; False if she would rather stay."""

    def dropped(self, paths: Sequence[Path]) -> None:
        """Open what was dropped on the window: a chart, or pictures of one."""

    def colours_changed(self) -> None:
        """Take over the colours of another theme."""


class Window(QMainWindow):
    """Holds the panels, which stay, and the board of one chart, which comes and goes."""

    def __init__(self) -> None:
        super().__init__()
        self._listener: WindowListener | None = None
        self._board: ChartBoard | None = None
        self._was_maximised = False
        self.setAcceptDrops(True)
        self.setWindowTitle(PROGRAM)
        self.setMinimumSize(480, 360)
        self.resize(*USUAL_SIZE)

    def furnish(self, listener: WindowListener, panels: "Panels", empty: "EmptyPage") -> None:
        """Take in all that stays, whichever chart is shown."""
        self._listener, self.panels, self.empty = listener, panels, empty
        self.toolbar = QToolBar("Tools", self)
        self.toolbar.setMovable(False)
        self.toolbar.setContextMenuPolicy(QtCore.Qt.ContextMenuPolicy.PreventContextMenu)
        self.addToolBar(self.toolbar)
        ways = QtCore.Qt.Orientation
        self._across, self._down = _splitter(ways.Horizontal), _splitter(ways.Vertical)
        self._middle, self._stage, self._foot = _column(panels.notices), _column(), _column()
        self._lay_out()

    def _lay_out(self) -> None:
        _add(self._stage, self.empty)
        _add(self._middle, self._stage)
        _add(self._middle, self.panels.runs, 0)
        self._down.addWidget(self.panels.keys)
        self._down.addWidget(self.panels.aside)
        self._down.addWidget(self._foot)
        self._across.addWidget(self._middle)
        self._across.addWidget(self._down)
        self._across.setStretchFactor(0, 1)
        self._down.setStretchFactor(0, 1)
        self._across.setCollapsible(0, False)
        self._across.setSizes(list(USUAL_SIDES))
        self._down.setSizes(list(USUAL_SIDE))
        self._whole = _column(self._across, self.panels.line)
        self.setCentralWidget(self._whole)
        self._show_sides()

    def settle(self) -> None:
        """Lay everything out now: of a window that is on the screen Qt would do so some time later."""
        for part in (self.menuBar(), self.toolbar, self._whole):
            part.show()
        for _ in range(LAYOUT_ROUNDS):
            QApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest)

    @property
    def board(self) -> "ChartBoard | None":
        """The board of the chart that is shown."""
        return self._board

    def show_board(self, board: "ChartBoard", title: str) -> None:
        """Show a chart."""
        self.take_board_away()
        self._board = board
        self.empty.hide()
        self._show_sides(self.alone)
        _add(self._stage, board)
        _add(self._foot, board.overview)
        for part in (board, board.overview):
            part.show()
        self.setWindowTitle(titled(title))
        board.set_alone(self.alone)
        board.setFocus()
        # Laid out now, so that the chart is fitted to the room that it will have.
        QApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest)

    def take_board_away(self) -> None:
        """Show no chart."""
        if self._board is not None:
            for part in (self._board.overview, self._board):
                part.hide()
                part.deleteLater()
            self._board = None
        self._show_sides()
        self.empty.show()
        self.empty.setFocus()
        self.setWindowTitle(PROGRAM)

    # Only the chart

    @property
    def alone(self) -> bool:
        """Whether only the chart is shown."""
        return self.isFullScreen()

    def set_alone(self, alone: bool) -> None:
        """Fill the screen with the chart alone, or show everything again."""
        if alone and not self.isFullScreen():
            self._was_maximised = self.isMaximized()
        for part in (self.toolbar, self.menuBar()):
            part.setVisible(not alone)
        self._show_sides(alone)
        if self._board is not None:
            self._board.set_alone(alone)
        if alone:
            self.showFullScreen()
        elif self._was_maximised:
            self.showMaximized()
        else:
            self.showNormal()

    def _show_sides(self, alone: bool = False) -> None:
        """Show key, lists and place line where there is a chart for them to tell of."""
        for part in (self._down, self.panels.line):
            part.setVisible(self._board is not None and not alone)

    # What is kept of it

    def keep_state(self, settings: QSettings) -> None:
        """Keep its place on the screen, and how the room is shared."""
        if self.alone:
            self.set_alone(False)
        settings.setValue(_GEOMETRY, self.saveGeometry())
        settings.setValue(_ACROSS, self._across.saveState())
        settings.setValue(_DOWN, self._down.saveState())

    def stay_within(self, room: QSize) -> None:
        """Be no larger than a small screen with `room` pixels, as long as it has its usual size.

        Else the place line would lie below the edge of a laptop's screen on the first evening;
        a size that was kept is fitted to the screen by Qt.
        """
        if self.size() == QSize(*USUAL_SIZE):
            self.resize(self.size().boundedTo(room - FRAME))

    def restore_place(self, settings: QSettings) -> None:
        """Stand on the screen where it stood; what was kept and makes no sense is passed over."""
        kept = settings.value(_GEOMETRY)
        if isinstance(kept, QByteArray):
            self.restoreGeometry(kept)

    def restore_shares(self, settings: QSettings) -> None:
        """Share the room as it was shared, as far as what was kept makes sense."""
        for name, splitter in ((_ACROSS, self._across), (_DOWN, self._down)):
            kept = settings.value(name)
            if isinstance(kept, QByteArray):
                splitter.restoreState(kept)

    # What happens to it

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Show everything again on Escape, when only the chart is shown."""
        if event.key() == QtCore.Qt.Key.Key_Escape and self.alone:
            self.set_alone(False)
        else:
            super().keyPressEvent(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close only when everything is put away; while the program is still coming up, stay."""
        if self._listener is not None and self._listener.may_close():
            event.accept()
        else:
            event.ignore()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files and folders that are dragged over the window."""
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Pass on what was dropped."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if paths and self._listener is not None:
            event.acceptProposedAction()
            self._listener.dropped(paths)

    def changeEvent(self, event: QEvent) -> None:
        """Pass on that the theme has changed."""
        super().changeEvent(event)
        # Asked in this order, because the kinds of events are not to be looked at before the first picture.
        if self._listener is not None and event.type() == QEvent.Type.PaletteChange:
            self._listener.colours_changed()


def titled(title: str) -> str:
    """Give what stands in the window's own bar when a chart is shown."""
    return f"{title}, {PROGRAM}"


def _column(*parts: QWidget) -> QWidget:
    """A widget that stacks parts closely; the last takes what room there is."""
    column = QWidget()
    layout = QVBoxLayout(column)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(0)
    for part in parts:
        layout.addWidget(part)
    return column


def _add(column: QWidget, part: QWidget, stretch: int = 1) -> None:
    layout = column.layout()
    if isinstance(layout, QVBoxLayout):
        layout.addWidget(part, stretch)


def _splitter(way: "QtCore.Qt.Orientation") -> QSplitter:
    splitter = QSplitter(way)
    splitter.setChildrenCollapsible(True)
    splitter.setHandleWidth(6)
    return splitter
