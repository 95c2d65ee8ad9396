"""Which chart is open: opening, closing, the recent ones, and asking before anything is lost."""

from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QDir, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from stitchview.chart.containers.entrynames import CHART_ENTRY
from stitchview.chart.fileformat import SUFFIX
from stitchview.done.basket import Basket
from stitchview.done.usedkey import printed_chart
from stitchview.errors import StitchviewError
from stitchview.ui.basketcard import lay_in_basket, taken_since
from stitchview.ui.layingout import SittingListener
from stitchview.ui.messages import say_error
from stitchview.ui.opening import Opened, chart_of, open_chart, own_sample
from stitchview.ui.preferences import Preferences
from stitchview.ui.recent import Recent
from stitchview.ui.sitting import Sitting
from stitchview.ui.welcome import shipped_samples
from stitchview.ui.window import Window

FILTER = f"Charts (*{SUFFIX} {CHART_ENTRY});;All files (*)"


class ChartsListener(SittingListener, Protocol):
    """Who shows that another chart is open."""

    def chart_changed(self) -> None:
        """Take over that another chart is open, or none."""


class Charts:
    """At most one open chart on a window."""

    def __init__(self, window: Window, recent: Recent, listener: ChartsListener, basket: Basket) -> None:
        self._window, self.recent, self._listener = window, recent, listener
        self._basket = basket
        self.sitting: Sitting | None = None
        self.preferences, self.night = Preferences(), False
        self.untold = ""
        """What could not be kept beside the marks at the last closing, to be told at the next start."""

    def use(self, preferences: Preferences, night: bool) -> None:
        """Go on with other preferences, by day or night."""
        self.preferences, self.night = preferences, night
        if self.sitting is not None:
            self.sitting.use(preferences, night)

    def ask(self) -> None:
        """Ask which chart to open."""
        start = self.recent.charts[0].parent if self.recent.charts else Path(QDir.homePath())
        asked = QFileDialog(self._window, "Open a chart", str(start), FILTER)
        asked.setFileMode(QFileDialog.FileMode.ExistingFile)
        asked.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        asked.fileSelected.connect(self._chosen)
        asked.open()

    def open(self, path: Path) -> bool:
        """Open a chart in place of the one that is open; what hinders is said, and nothing changes."""
        path = chart_of(path)
        if self.sitting is not None and self.sitting.path == path:
            return True
        try:
            opened = self._read(path)
        except StitchviewError as error:
            if _has_gone(path):
                self.recent.forget(path)
                self._listener.chart_changed()
            say_error(self._window, error)
            return False
        if not self.close():
            opened.layer.layer.close()
            opened.sign.unlock()
            return False
        self.show(opened)
        return True

    def show(self, opened: Opened) -> None:
        """Show a chart that was just opened, where none is."""
        sitting = Sitting(opened, self._window.panels, self._listener)
        self.sitting = sitting
        self._forget_old_place(sitting)
        self.recent.opened(opened.path)
        self._window.show_board(sitting.board, sitting.title)
        sitting.begin(self.preferences, self.night)
        for notice in taken_since(self._basket, sitting):
            self._window.panels.notices.say(notice)
        self._listener.chart_changed()

    def _forget_old_place(self, sitting: Sitting) -> None:
        """Take the path off the list where the piece lay before it was moved, or it would have two cards."""
        identity = sitting.desk.chart.identity
        for piece in self._basket.pieces() if identity else ():
            if piece.identity == identity and piece.path != sitting.path and not piece.is_there:
                self.recent.forget(piece.path)

    def lay_out_anew(self) -> None:
        """Lay the chart out as it stands on the cloth now, because a recorded difference came or went.

        Marks that are only in memory would end with it: there the next opening shows what differs.
        """
        sitting = self.sitting
        if sitting is None or not sitting.desk.keeps:
            return
        path, listed = sitting.path, sitting.lists_differences
        printed = printed_chart(sitting.desk.chart.printed)
        if not self.close():
            return
        try:
            opened = open_chart(path, printed=printed)
        except StitchviewError as error:
            say_error(self._window, error)
            return
        self.show(opened)
        if self.sitting is not None:
            # The dialog that asked stood over the board that is gone, and took the keyboard with it.
            self._window.activateWindow()
            self.sitting.go_on(listed)

    def open_sample(self, path: Path | None = None) -> bool:
        """Open a sample that comes with the program, in a copy of her own."""
        samples = [path] if path is not None else sorted(shipped_samples(), key=_from_small_to_big)
        try:
            if not samples:
                raise StitchviewError("The samples of stitchview are missing.", "Install it again.")
            return self.open(own_sample(samples[0].name))
        except StitchviewError as error:
            say_error(self._window, error)
            return False

    def close(self) -> bool:
        """Close the open chart; False if something could not be kept and she would rather stay."""
        sitting = self.sitting
        if sitting is None:
            return True
        let_go = False
        while trouble := _waiting(sitting.unkept):
            answer = _ask_about_losing(self._window, trouble)
            if answer is QMessageBox.StandardButton.Cancel:
                return False
            if answer is QMessageBox.StandardButton.Discard:
                let_go = True
                break
        self.sitting = None
        lay_in_basket(self._basket, sitting)
        lost = sitting.close()
        self._window.take_board_away()
        self._window.panels.notices.clear()
        self.untold = sitting.desk.copy_trouble
        if self.untold:
            self._window.panels.notices.say(self.untold)
        sitting.deleteLater()
        self._listener.chart_changed()
        if lost is not None and not let_go:
            say_error(self._window, lost)
        return True

    def put_away(self) -> None:
        """Close the chart for good: the next start will not open it by itself."""
        if self.close():
            self.recent.closed()

    def _chosen(self, path: str) -> None:
        self.open(Path(path))

    def _read(self, path: Path) -> Opened:
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            return open_chart(path)
        finally:
            QGuiApplication.restoreOverrideCursor()


def _has_gone(path: Path) -> bool:
    """Whether it was taken out of its folder; of what may not be looked at nobody can say so.

    Where the folder is missing too the drive may only be unplugged.
    """
    try:
        path.stat()
    except FileNotFoundError:
        return path.parent.is_dir()
    except (OSError, ValueError):
        return False
    return False


def _from_small_to_big(path: Path) -> tuple[bool, int]:
    """Files before folders, which are for reading in an editor, and small ones before big ones."""
    return (path.is_dir(), path.stat().st_size)


def _waiting(question: Callable[[], str]) -> str:
    QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
    try:
        return question()
    finally:
        QGuiApplication.restoreOverrideCursor()


def _ask_about_losing(parent: QWidget, trouble: str) -> QMessageBox.StandardButton:
    """Ask what to do about marks that are not on the disk: try again, lose them, or stay."""
    kinds = QMessageBox.StandardButton
    box = QMessageBox(QMessageBox.Icon.Warning, "stitchview", "Some marks are not kept yet.", parent=parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setInformativeText(f"{trouble} Closing now would lose them.")
    box.setStandardButtons(kinds.Retry | kinds.Discard | kinds.Cancel)
    box.button(kinds.Retry).setText("Try again")
    box.button(kinds.Discard).setText("Close and lose them")
    box.button(kinds.Cancel).setText("Stay here")
    box.setDefaultButton(kinds.Retry)
    box.setEscapeButton(kinds.Cancel)
    answer = kinds(box.exec())
    box.deleteLater()
    return answer
