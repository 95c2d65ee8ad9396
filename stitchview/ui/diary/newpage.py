"""The page that shows what is new: a list of sittings, the picture, and words to read out."""

from datetime import date
from functools import partial
from pathlib import Path

from PySide6.QtCore import QDate, Qt
from PySide6.QtGui import QGuiApplication, QPixmap, QResizeEvent
from PySide6.QtWidgets import (
    QDateEdit,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from stitchview.canvas.clothpicture import ClothWish, new_picture, now_picture
from stitchview.canvas.growing import chosen_ends, write_growing
from stitchview.canvas.picture import save_png
from stitchview.done.diary import Since
from stitchview.errors import StitchviewError
from stitchview.ui.diary.diarybook import DiaryBook
from stitchview.ui.messages import say_error
from stitchview.ui.planning.asking import FileWish, ask_to_save
from stitchview.ui.planning.planpage import heading, words_label

SHOWN_PIXELS, SAVED_PIXELS, GROWING_PIXELS, PRINT_PIXELS = 700, 2000, 900, 6000
"""Pixels at the longer side: on the page, in a picture, in a moving one, and in one for printing."""
NOTHING_YET = "No stitch has been marked yet. What you mark is written into this diary by itself."


class NewPage(QWidget):
    """Sittings at the left, what is new since the chosen one at the right."""

    def __init__(self, folder: Path, title: str) -> None:
        super().__init__()
        self._folder, self._title = folder, title
        self.book: DiaryBook | None = None
        self.since: Since | None = None
        self.sittings = QListWidget()
        self.sittings.setAccessibleName("Sittings, the last one first")
        self.day = QDateEdit(QDate.currentDate())
        self.day.setCalendarPopup(True)
        self.day.setAccessibleName("Since a day")
        self.since_day, self.everything = QPushButton("Since this &day"), QPushButton("From the &beginning")
        self.words, self._pixmap = words_label(), QPixmap()
        self.picture = QLabel()
        self.picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.picture.setMinimumSize(200, 150)
        self.picture.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self.picture.setAccessibleName("The piece; what is new in its full colours")
        self.copy, self.save, self.print, self.grow = (
            QPushButton(words)
            for words in ("&Copy the words", "&Save the picture …", "Save to &print …", "Save it &growing …")
        )
        self._lay_out()
        self.sittings.currentRowChanged.connect(self._choose)
        self.since_day.clicked.connect(self._choose_day)
        self.everything.clicked.connect(self._choose_all)
        self.copy.clicked.connect(self._copy)
        self.save.clicked.connect(self._ask_picture)
        self.print.clicked.connect(self._ask_print)
        self.grow.clicked.connect(self._ask_growing)

    def show_book(self, book: DiaryBook) -> None:
        """Show another state of the diary; the last sitting is chosen."""
        self.book = book
        self.sittings.clear()
        self.sittings.addItems([book.line(number) for number in reversed(range(len(book.sittings)))])
        for part in (
            self.sittings,
            self.since_day,
            self.everything,
            self.copy,
            self.save,
            self.print,
            self.grow,
        ):
            part.setEnabled(bool(book.sittings))
        if book.sittings:
            self.sittings.setCurrentRow(0)
        else:
            self._show(book.all())
            self.words.setText(NOTHING_YET)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the picture into the room there is."""
        super().resizeEvent(event)
        self._fit()

    def _lay_out(self) -> None:
        left, right, days, below = QVBoxLayout(), QVBoxLayout(), QHBoxLayout(), QGridLayout()
        left.addWidget(heading("What is new since this sitting"))
        left.addWidget(self.sittings, 1)
        days.addWidget(self.day, 1)
        days.addWidget(self.since_day)
        left.addLayout(days)
        left.addWidget(self.everything)
        right.addWidget(self.picture, 1)
        right.addWidget(self.words)
        # Two and two, because four beside each other made the page wider than a small screen.
        for number, button in enumerate((self.copy, self.save, self.print, self.grow)):
            below.addWidget(button, *divmod(number, 2))
        right.addLayout(below)
        outer = QHBoxLayout(self)
        outer.addLayout(left, 5)
        outer.addLayout(right, 6)

    def _choose(self, row: int) -> None:
        if self.book is not None and 0 <= row < len(self.book.sittings):
            self._show(self.book.since_sitting(len(self.book.sittings) - 1 - row))

    def _choose_day(self) -> None:
        if self.book is None:
            return
        told = self.day.date()
        try:
            self._show(self.book.since_day(date(told.year(), told.month(), told.day())))
        except StitchviewError as error:
            say_error(self, error)

    def _choose_all(self) -> None:
        if self.book is not None:
            self._show(self.book.all())

    def _show(self, since: Since) -> None:
        self.since = since
        if self.book is not None:
            self.words.setText(self.book.words(since))
            image = new_picture(self.book.chart, since.before, since.after, self._wish(SHOWN_PIXELS))
            self._pixmap = QPixmap.fromImage(image)
            self._fit()

    def _fit(self) -> None:
        if self.since is not None:
            room = self.picture.size()
            keep, smooth = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
            self.picture.setPixmap(self._pixmap.scaled(room, keep, smooth))

    def _wish(self, pixels: int) -> ClothWish:
        assert self.book is not None
        longest = max(self.book.chart.columns, self.book.chart.rows)
        return ClothWish(min(24, max(1, pixels // longest)))

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self.words.text())

    def _ask_picture(self) -> None:
        self._ask_image("Save what is new as a picture", SAVED_PIXELS)

    def _ask_print(self) -> None:
        self._ask_image("Save what is new to print", PRINT_PIXELS)

    def _ask_image(self, words: str, pixels: int) -> None:
        wish = FileWish(words, "Pictures (*.png)", "png", self._folder / f"{self._title}, new.png")
        ask_to_save(wish, partial(self._save_image, pixels), self)

    def _save_image(self, pixels: int, path: Path) -> None:
        since = self.since
        if since is None or self.book is None:
            return
        try:
            image = new_picture(self.book.chart, since.before, since.after, self._wish(pixels))
            save_png(image, path)
        except StitchviewError as error:
            say_error(self, error)

    def _ask_growing(self) -> None:
        start = self._folder / f"{self._title}, growing.webp"
        wish = FileWish("Save the piece growing", "Moving pictures (*.webp *.gif)", "webp", start)
        ask_to_save(wish, self._save_growing, self)

    def _save_growing(self, path: Path) -> None:
        book = self.book
        if book is None:
            return
        ends = chosen_ends([each.last for each in book.sittings])
        frames = (
            now_picture(book.chart, each, self._wish(GROWING_PIXELS)) for each in book.diary.states(ends)
        )
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            write_growing(frames, path)
        except StitchviewError as error:
            say_error(self, error)
        finally:
            QGuiApplication.restoreOverrideCursor()
