"""The diary of a piece: what is new, its sittings, how the work went, and when it will be done."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSize, QTimer
from PySide6.QtGui import QCloseEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QInputDialog, QLabel, QPushButton, QTabWidget, QVBoxLayout, QWidget

from stitchview.canvas.desk import Desk
from stitchview.done.ids import new_name, now_ms
from stitchview.done.joining import Piece
from stitchview.done.notebook import Notes, NotesChange
from stitchview.done.sittingnotes import MOST_MOMENT_LETTERS, ClothPhoto, TimePin
from stitchview.done.sittings import Pauses, Sitting
from stitchview.errors import LayerError, StitchviewError
from stitchview.ui.diary.diarybook import DiaryBook
from stitchview.ui.diary.diaryreader import DiaryReader, Shot, Thumb
from stitchview.ui.diary.forecastpage import ForecastPage
from stitchview.ui.diary.newpage import NewPage
from stitchview.ui.diary.pacepage import PacePage
from stitchview.ui.diary.reckoning import Reckoning
from stitchview.ui.diary.sittingspage import SittingsPage
from stitchview.ui.messages import say_error
from stitchview.ui.screenroom import open_at
from stitchview.ui.settingsdialog import Scrolling

SIZE = QSize(980, 600)
REFRESH_MS = 400
RECKONING = "Reckoning …"


class DiaryWindow(QDialog):
    """Stands over the board; the chart can be used beside it, and what is marked comes in a moment later.

    All that takes long is done in a thread beside it. `show_new` draws what is new on the chart.
    """

    def __init__(
        self, desk: Desk, piece: Piece, title: str, parent: QWidget, show_new: Callable[[Shot], None]
    ) -> None:
        super().__init__(parent)
        self._desk, self._show_new = desk, show_new
        self._reader = DiaryReader(desk, piece)
        self._reckoning = Reckoning(self._fail, self)
        self._book: DiaryBook | None = None
        self._corrections: set[bytes] = set()
        self.pauses = Pauses()
        self.setWindowTitle(f"Diary of {title}")
        folder = piece.path.parent
        self.new, self.sittings = NewPage(folder, title, self), SittingsPage(folder, self)
        self.pace, self.forecast = PacePage(), ForecastPage()
        self.told = QLabel(RECKONING)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(REFRESH_MS)
        self._soon.timeout.connect(self.refresh)
        self._lay_out()
        undo = QShortcut(QKeySequence(QKeySequence.StandardKey.Undo), self)
        undo.activated.connect(self.undo_correction)
        open_at(self, SIZE)

    @property
    def settled(self) -> bool:
        """Whether all that was asked for is shown."""
        return self._reckoning.rests and not self._soon.isActive()

    def changed(self) -> None:
        """Follow other marks and notes when nothing has changed for a moment."""
        if self.isVisible():
            self._soon.start()

    def refresh(self) -> None:
        """Show the diary as it is now, as soon as it is reckoned."""
        self._soon.stop()
        if self._book is None:
            self.told.setText(RECKONING)
        work = partial(self._reader.book, self._desk.notes, self._desk.tally.total(), self.pauses)
        self._reckoning.ask("book", work, self._show_book)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Forget what is still being reckoned; nobody waits for it."""
        self._forget()
        super().closeEvent(event)

    def reject(self) -> None:
        """Close on Escape, as by its cross."""
        self._forget()
        super().reject()

    def end(self) -> None:
        """Close with the chart, and leave no thread behind that reads its file."""
        self._reader.end()
        self.close()
        self._reckoning.stop()

    # What the pages ask for

    @property
    def notes(self) -> Notes:
        """What is noted now."""
        return self._desk.notes

    @property
    def can_undo_correction(self) -> bool:
        """Whether the last thing done to the chart was a correction of this diary."""
        return self._desk.newest in self._corrections

    def correct(self, change: NotesChange | None) -> None:
        """Note a correction as one stroke, and show what comes of it."""
        if change is not None and self._desk.note(change) is not None:
            self._corrections.add(self._desk.newest)
            self.refresh()

    def undo_correction(self) -> None:
        """Take the last correction back, unless something was marked since."""
        if not self.can_undo_correction:
            return
        try:
            self._desk.undo()
        except LayerError as error:
            say_error(self, error)
        self.refresh()

    def shot_asked(self, begin: bytes) -> None:
        """Reckon what is new since a moment."""
        if self._book is not None:
            self._reckoning.ask("shot", partial(self._reader.shot, self._book, begin), self._take_shot)

    def file_asked(self, work: Callable[[], Path]) -> None:
        """Write a file beside the window."""
        self.told.setText("Writing …")
        self._reckoning.see_to(work, self._tell_file)

    def pin_asked(self) -> None:
        """Ask for a name for this moment, and pin it."""
        asked = QInputDialog(self)
        asked.setWindowTitle("Pin this moment")
        asked.setLabelText("What will be new later is told since this moment. Its name:")
        asked.setTextValue("Shown to friends")
        asked.textValueSelected.connect(self.pin_moment)
        asked.finished.connect(asked.deleteLater)
        asked.open()

    def pin_moment(self, name: str) -> None:
        """Pin this moment in time."""
        # A clock that was set back must not put the pin before what is stitched.
        time = max(now_ms(), self._desk.last_ms)
        name = name.strip()[:MOST_MOMENT_LETTERS] or "Pin"
        self.correct(self.notes.putting(TimePin(new_name(), name, time)))

    def canvas_asked(self, shot: Shot) -> None:
        """Draw what is new on the chart."""
        self._show_new(shot)

    def photos_asked(self, photos: tuple[ClothPhoto, ...]) -> None:
        """Look for photographs."""
        self._reckoning.ask("photos", partial(self._reader.thumbs, photos), self._take_thumbs)

    def photo_chosen(self, source: Path, sitting: Sitting) -> None:
        """Copy a photograph beside the chart, and note it."""
        self._reckoning.see_to(partial(self._reader.add_photo, source, sitting), self._take_photo)

    def _lay_out(self) -> None:
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        pages = {"What is new": self.new, "Sittings": self.sittings, "How it went": self.pace}
        for words, page in {**pages, "When it will be done": self.forecast}.items():
            self.tabs.addTab(Scrolling(page), words)
        self.tabs.setCornerWidget(self.told)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 4, 8, 8)
        outer.addWidget(self.tabs)
        for button in self.findChildren(QPushButton):
            button.setAutoDefault(False)

    def _forget(self) -> None:
        self._soon.stop()
        self._reckoning.forget()

    def _show_book(self, book: object) -> None:
        if isinstance(book, DiaryBook):
            self._book = book
            self.told.setText("")
            for page in (self.new, self.sittings, self.pace, self.forecast):
                page.show_book(book)

    def _take_shot(self, shot: object) -> None:
        if isinstance(shot, Shot):
            self.new.show_shot(shot)

    def _tell_file(self, path: object) -> None:
        if isinstance(path, Path):
            self.told.setText(f"Wrote “{path.name}”.")

    def _take_thumbs(self, thumbs: object) -> None:
        if isinstance(thumbs, tuple):
            self.sittings.show_thumbs(tuple(each for each in thumbs if isinstance(each, Thumb)))

    def _take_photo(self, photo: object) -> None:
        if isinstance(photo, ClothPhoto):
            self.correct(self.notes.putting(photo))

    def _fail(self, error: StitchviewError) -> None:
        self.told.setText("")
        say_error(self, error)
