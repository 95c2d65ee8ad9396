"""The page that shows what is new: a list of sittings, the picture, and words to read out."""

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QDate, Qt
from PySide6.QtGui import QGuiApplication, QPixmap, QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from stitchview.canvas.newpictures import Between, Shown
from stitchview.done.diary import BEFORE_ALL, at_ms
from stitchview.done.sittings import day_words, moment
from stitchview.errors import StitchviewError
from stitchview.ui.diary.diarybook import DiaryBook, begin_of_day
from stitchview.ui.diary.diaryreader import Shot, save_growing, save_picture
from stitchview.ui.messages import say_error
from stitchview.ui.planning.asking import FileWish, ask_to_save
from stitchview.ui.planning.planpage import day_box, heading, words_label

SAVED_PIXELS, PRINT_PIXELS = 2000, 6000
"""Pixels at the longer side: in a picture, and in one for printing."""
NOTHING_YET = "No stitch has been marked yet. What you mark is written into this diary by itself."
SHOWN_WORDS = {
    Shown.NEW: "What is new, in colour",
    Shown.BEFORE: "As it was before",
    Shown.NOW: "As it is now",
    Shown.BESIDE: "Before and now, side by side",
}
NO_PINS = "Since a pin in time"


class NewListener(Protocol):
    """Who reckons beside the window, and pins moments."""

    def shot_asked(self, begin: bytes) -> None:
        """Reckon what is new since a moment."""

    def file_asked(self, work: Callable[[], Path]) -> None:
        """Write a file."""

    def pin_asked(self) -> None:
        """Ask for a name for this moment, and pin it."""

    def canvas_asked(self, shot: Shot) -> None:
        """Draw what is new on the chart."""


class NewPage(QWidget):
    """Sittings at the left, what is new since the chosen one at the right."""

    def __init__(self, folder: Path, title: str, listener: NewListener) -> None:
        super().__init__()
        self._folder, self._title, self._listener = folder, title, listener
        self.book: DiaryBook | None = None
        self.shot: Shot | None = None
        self._begin = BEFORE_ALL
        self.sittings = QListWidget()
        self.sittings.setAccessibleName("Sittings, the last one first")
        self.day = day_box(QDate.currentDate(), "Since a day")
        self.since_day, self.everything = QPushButton("Since this &day"), QPushButton("From the &beginning")
        self.pins, self.pin = QComboBox(), QPushButton("Pin this &moment …")
        self.pins.setAccessibleName(NO_PINS)
        self.words, self._pixmap = words_label(), QPixmap()
        self.picture = QLabel()
        self.picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.picture.setMinimumSize(200, 120)
        self.picture.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self.picture.setAccessibleName("The piece; what is new in its full colours")
        self.which = QComboBox()
        self.which.setAccessibleName("What a saved picture shows")
        for shown, words in SHOWN_WORDS.items():
            self.which.addItem(words, shown)
        self.copy, self.chart, self.save, self.print, self.grow, self.frames = (
            QPushButton(words)
            for words in (
                "&Copy the words",
                "Show on the c&hart",
                "&Save the picture …",
                "Save to &print …",
                "Save it &growing …",
                "Save &frames …",
            )
        )
        self._lay_out()
        self._connect()

    def show_book(self, book: DiaryBook) -> None:
        """Show another state of the diary; the sitting that was chosen stays so, else it is the last one."""
        row = self.sittings.currentRow()
        kept = self.book.sittings[-1 - row].first if self.book is not None and row > 0 else None
        self.book = book
        self._list(book)
        for part in (self.sittings, self.since_day, self.everything, *self._buttons, self.which):
            part.setEnabled(bool(book.sittings))
        self.pins.setEnabled(bool(book.pins))
        if book.sittings:
            firsts = [each.first for each in reversed(book.sittings)]
            self.sittings.setCurrentRow(firsts.index(kept) if kept in firsts else 0)
        else:
            self._ask(BEFORE_ALL)

    def show_shot(self, shot: Shot) -> None:
        """Show what is new since the moment that was asked for."""
        self.shot = shot
        none = self.book is not None and not self.book.sittings
        self.words.setText(NOTHING_YET if none else shot.words)
        self._pixmap = QPixmap.fromImage(shot.image)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the picture into the room there is."""
        super().resizeEvent(event)
        self._fit()

    @property
    def _buttons(self) -> tuple[QPushButton, ...]:
        return self.copy, self.chart, self.save, self.print, self.grow, self.frames

    def _lay_out(self) -> None:
        left, right, days, below = QVBoxLayout(), QVBoxLayout(), QGridLayout(), QGridLayout()
        left.addWidget(heading("What is new since this sitting"))
        left.addWidget(self.sittings, 1)
        for row, pair in enumerate(((self.day, self.since_day), (self.pins, self.pin))):
            for column, part in enumerate(pair):
                days.addWidget(part, row, column)
        days.setColumnStretch(0, 1)
        left.addLayout(days)
        left.addWidget(self.everything)
        right.addWidget(self.picture, 1)
        right.addWidget(self.words)
        # Few beside each other, because four made the page wider than a small screen.
        below.addWidget(self.which, 0, 0, 1, 2)
        for number, button in enumerate(self._buttons, 2):
            below.addWidget(button, *divmod(number, 2))
        right.addLayout(below)
        outer = QHBoxLayout(self)
        outer.addLayout(left, 5)
        outer.addLayout(right, 6)

    def _connect(self) -> None:
        self.sittings.currentRowChanged.connect(self._choose)
        self.since_day.clicked.connect(self._choose_day)
        self.everything.clicked.connect(self._choose_all)
        self.pins.activated.connect(self._choose_pin)
        self.pin.clicked.connect(self._listener.pin_asked)
        self.copy.clicked.connect(self._copy)
        self.chart.clicked.connect(self._show_on_chart)
        self.save.clicked.connect(self._ask_picture)
        self.print.clicked.connect(self._ask_print)
        self.grow.clicked.connect(self._ask_growing)
        self.frames.clicked.connect(self._ask_frames)

    def _list(self, book: DiaryBook) -> None:
        self.sittings.clear()
        self.sittings.addItems([book.line(number) for number in reversed(range(len(book.sittings)))])
        self.pins.clear()
        self.pins.addItem(NO_PINS)
        for each in reversed(book.pins):
            self.pins.addItem(f"{each.name}, {day_words(moment(each.time))}", each.time)

    def _ask(self, begin: bytes) -> None:
        self._begin = begin
        self._listener.shot_asked(begin)

    def _choose(self, row: int) -> None:
        if self.book is not None and 0 <= row < len(self.book.sittings):
            self._ask(self.book.before_sitting(len(self.book.sittings) - 1 - row))

    def _choose_day(self) -> None:
        told = self.day.date()
        try:
            self._ask(begin_of_day(date(told.year(), told.month(), told.day())))
        except StitchviewError as error:
            say_error(self, error)

    def _choose_all(self) -> None:
        self._ask(BEFORE_ALL)

    def _choose_pin(self, row: int) -> None:
        time = self.pins.itemData(row)
        if isinstance(time, int):
            self._ask(at_ms(time))

    def _fit(self) -> None:
        if self.shot is not None:
            room = self.picture.size()
            keep, smooth = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
            self.picture.setPixmap(self._pixmap.scaled(room, keep, smooth))

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self.words.text())

    def _show_on_chart(self) -> None:
        if self.shot is not None:
            self._listener.canvas_asked(self.shot)

    def _ask_picture(self) -> None:
        self._ask_image("Save it as a picture", SAVED_PIXELS)

    def _ask_print(self) -> None:
        self._ask_image("Save it to print", PRINT_PIXELS)

    def _ask_image(self, words: str, pixels: int) -> None:
        name = f"{self._title}, {Shown(self.which.currentData())}.png"
        wish = FileWish(words, "Pictures (*.png)", "png", self._folder / name)
        ask_to_save(wish, partial(self._save_image, pixels), self)

    def _save_image(self, pixels: int, path: Path) -> None:
        if self.shot is not None and self.book is not None:
            between = Between(self.book.diary.chart, self.shot.since.before, self.shot.since.after)
            shown = Shown(self.which.currentData())
            self._listener.file_asked(partial(save_picture, between, shown, pixels, path))

    def _ask_growing(self) -> None:
        start = self._folder / f"{self._title}, growing.webp"
        wish = FileWish("Save the piece growing", "Moving pictures (*.webp *.gif)", "webp", start)
        ask_to_save(wish, self._save_growing, self)

    def _ask_frames(self) -> None:
        asked = QFileDialog(self, "Choose an empty folder for the frames", str(self._folder))
        asked.setFileMode(QFileDialog.FileMode.Directory)
        asked.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        asked.fileSelected.connect(self._save_frames)
        asked.open()

    def _save_frames(self, name: str) -> None:
        if self.book is not None:
            self._listener.file_asked(partial(save_growing, self.book, Path(name), frames_apart=True))

    def _save_growing(self, path: Path) -> None:
        if self.book is not None:
            self._listener.file_asked(partial(save_growing, self.book, path))
