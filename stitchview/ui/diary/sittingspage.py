"""The page on which sittings are corrected by hand: joined, split, struck out, told, photographed."""

from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon, QPixmap
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDoubleSpinBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from stitchview.done.ids import time_of
from stitchview.done.newswords import hours_words
from stitchview.done.notebook import Notes, NotesChange
from stitchview.done.sittingnotes import MOST_MINUTES, ClothPhoto
from stitchview.done.sittings import MINUTE_MS, Sitting, moment
from stitchview.done.sittingwords import SittingDesk, photos_of, split_places
from stitchview.errors import StitchviewError
from stitchview.ui.diary.diarybook import DiaryBook
from stitchview.ui.diary.diaryreader import Thumb
from stitchview.ui.messages import say_error
from stitchview.ui.planning.asking import FileWish, ask_to_open
from stitchview.ui.planning.planpage import heading, number_box, words_label

MOST_SPLITS = 30
THUMB = QSize(120, 90)
NOTE_LINES = 3
STRUCK = "This was no &sitting (say, marking what had long been done)"
PICTURES = "Photographs (*.jpg *.jpeg *.png *.webp *.tif *.tiff *.heic *.heif)"


class SittingsListener(Protocol):
    """Who notes corrections and finds photographs."""

    @property
    def notes(self) -> Notes:
        """What is noted now."""

    @property
    def can_undo_correction(self) -> bool:
        """Whether the last thing done to the chart was a correction of this diary."""

    def correct(self, change: NotesChange | None) -> None:
        """Note a correction as one stroke."""

    def undo_correction(self) -> None:
        """Take the last correction back."""

    def photos_asked(self, photos: tuple[ClothPhoto, ...]) -> None:
        """Look for photographs."""

    def photo_chosen(self, source: Path, sitting: Sitting) -> None:
        """Add a photograph to a sitting."""


class SittingsPage(QWidget):
    """The list at the left; what is told of the chosen sitting at the right."""

    def __init__(self, folder: Path, listener: SittingsListener) -> None:
        super().__init__()
        self._folder, self._listener = folder, listener
        self.book: DiaryBook | None = None
        self.list = QListWidget()
        self.list.setAccessibleName("Sittings to correct, the last one first")
        self.told = words_label()
        self.minutes: QDoubleSpinBox = number_box((0, MOST_MINUTES), "Minutes at work", 0, " min")
        self.measured = QPushButton("As &measured")
        self.note = QPlainTextEdit()
        self.note.setAccessibleName("A note about this sitting")
        self.note.setTabChangesFocus(True)
        self.note.setFixedHeight((NOTE_LINES + 1) * self.fontMetrics().lineSpacing())
        self.struck = QCheckBox(STRUCK)
        self.keep, self.undo = QPushButton("&Keep this"), QPushButton("&Undo the last correction")
        self.join = QPushButton("&Join with the one before")
        self.splits, self.split = QComboBox(), QPushButton("S&plit there")
        self.splits.setAccessibleName("Where another sitting begins")
        self.splits.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.splits.setMinimumContentsLength(18)
        self.add, self.off = QPushButton("&Add a photograph …"), QPushButton("Take it o&ff")
        self.photos = _photo_list()
        self._lay_out()
        self._connect()
        self._enable()

    @property
    def number(self) -> int | None:
        """The number of the chosen sitting, counted from the first one."""
        row = self.list.currentRow()
        return len(self.book.sittings) - 1 - row if self.book is not None and row >= 0 else None

    @property
    def sitting(self) -> Sitting | None:
        """The chosen sitting."""
        number = self.number
        return None if number is None or self.book is None else self.book.sittings[number]

    def show_book(self, book: DiaryBook) -> None:
        """Show another state of the diary; the sitting that was chosen stays so."""
        kept = self.sitting
        self.book = book
        self.list.clear()
        self.list.addItems([book.line(number) for number in reversed(range(len(book.sittings)))])
        rows = [row for row, each in enumerate(reversed(book.sittings)) if kept and each.holds(kept.first)]
        self.list.setCurrentRow(rows[0] if rows else 0 if book.sittings else -1)
        self._enable()

    def show_thumbs(self, thumbs: tuple[Thumb, ...]) -> None:
        """Show the photographs of the chosen sitting; what is missing or altered is said."""
        self.photos.clear()
        for each in thumbs:
            item = QListWidgetItem(each.found.sentence or each.found.photo.file)
            item.setData(Qt.ItemDataRole.UserRole, each.found.photo)
            item.setToolTip(str(each.found.path) if each.found.path else each.found.sentence)
            if each.image is not None:
                item.setIcon(QIcon(QPixmap.fromImage(each.image)))
            self.photos.addItem(item)
        self.photos.setCurrentRow(0)
        self.photos.setVisible(bool(thumbs))
        self.off.setEnabled(bool(thumbs))

    def _lay_out(self) -> None:
        left, right, form = QVBoxLayout(), QVBoxLayout(), QFormLayout()
        left.addWidget(heading("Your sittings"))
        left.addWidget(self.list, 1)
        left.addWidget(self.undo)
        form.addRow("M&inutes", _beside(self.minutes, self.measured))
        note = QLabel("&Note")
        note.setBuddy(self.note)
        form.addRow(note, self.note)
        right.addWidget(self.told)
        right.addLayout(form)
        right.addWidget(self.struck)
        right.addWidget(_beside(self.keep, self.join))
        right.addWidget(_beside(self.splits, self.split))
        right.addWidget(heading("The cloth then"))
        right.addWidget(self.photos, 1)
        right.addStretch(0)
        right.addWidget(_beside(self.add, self.off))
        outer = QHBoxLayout(self)
        outer.addLayout(left, 5)
        outer.addLayout(right, 6)

    def _connect(self) -> None:
        self.list.currentRowChanged.connect(self._show)
        self.measured.clicked.connect(self._as_measured)
        self.keep.clicked.connect(self._keep)
        self.undo.clicked.connect(self._listener.undo_correction)
        self.join.clicked.connect(self._join)
        self.split.clicked.connect(self._split)
        self.add.clicked.connect(self._ask_photo)
        self.off.clicked.connect(self._take_off)

    def _enable(self) -> None:
        number = self.number
        for part in (self.minutes, self.measured, self.note, self.struck, self.keep, self.add):
            part.setEnabled(number is not None)
        self.join.setEnabled(bool(number))
        self.split.setEnabled(self.splits.count() > 0)
        self.splits.setEnabled(self.splits.count() > 0)
        self.undo.setEnabled(self._listener.can_undo_correction)

    def _show(self) -> None:
        """Show what is told of the chosen sitting."""
        sitting, number, book = self.sitting, self.number, self.book
        self.splits.clear()
        self.show_thumbs(())
        if sitting is None or number is None or book is None:
            self.told.setText("")
            self._enable()
            return
        threads = book.threads_words(number)
        self.told.setText(_words(sitting) + (f"\nThreads: {threads}." if threads else ""))
        self.minutes.setValue(sitting.minutes)
        self.note.setPlainText(sitting.note)
        self.struck.setChecked(sitting.struck)
        for stroke, words in _splits(book.diary.worked, sitting):
            self.splits.addItem(words, stroke)
        photos = photos_of(sitting, book.diary.notes)
        if photos:
            self._listener.photos_asked(photos)
        self._enable()

    def _as_measured(self) -> None:
        if self.sitting is not None:
            self.minutes.setValue(self.sitting.measured)

    def _keep(self) -> None:
        sitting = self.sitting
        if sitting is None:
            return
        minutes: float | None = self.minutes.value()
        if minutes == round(sitting.measured):
            # As it was measured to the minute; then what is measured goes on counting.
            minutes = None
        said = (minutes, self.struck.isChecked(), self.note.toPlainText())
        self._correct(partial(SittingDesk(self._listener.notes).saying, sitting, *said))

    def _join(self) -> None:
        number, book = self.number, self.book
        if number and book is not None:
            pair = book.sittings[number - 1], book.sittings[number]
            self._correct(partial(SittingDesk(self._listener.notes).joining, *pair))

    def _split(self) -> None:
        sitting, stroke = self.sitting, self.splits.currentData()
        if sitting is not None and isinstance(stroke, bytes):
            self._correct(partial(SittingDesk(self._listener.notes).splitting, sitting, stroke))

    def _correct(self, correction: Callable[[], NotesChange | None]) -> None:
        try:
            self._listener.correct(correction())
        except StitchviewError as error:
            say_error(self, error)

    def _ask_photo(self) -> None:
        wish = FileWish("Add a photograph of the cloth", PICTURES, "jpg", self._folder / "photograph.jpg")
        ask_to_open(wish, self._add, self)

    def _add(self, source: Path) -> None:
        if self.sitting is not None:
            self._listener.photo_chosen(source, self.sitting)

    def _take_off(self) -> None:
        item = self.photos.currentItem()
        photo = item.data(Qt.ItemDataRole.UserRole) if item is not None else None
        if isinstance(photo, ClothPhoto):
            self._listener.correct(self._listener.notes.removing(photo))


def _words(sitting: Sitting) -> str:
    began, ended = moment(sitting.began_ms), moment(sitting.ended_ms)
    told = f"{began.day} {began:%B %Y}, {began:%H:%M} to {ended:%H:%M}, measured {sitting.measured:.0f} min."
    return f"{told} Struck out." if sitting.struck else told


def _splits(ids: Sequence[bytes], sitting: Sitting) -> list[tuple[bytes, str]]:
    """Where a sitting may be split: after its longest pauses, in the order of time."""
    strokes = [sitting.first, *split_places(ids, sitting)]
    pauses = [(time_of(here) - time_of(before), here) for before, here in pairwise(strokes)]
    longest = sorted(sorted(pauses, reverse=True)[:MOST_SPLITS], key=lambda pause: pause[1])
    return [
        (stroke, f"at {moment(time_of(stroke)):%H:%M}, after {_quiet_words(quiet)} of quiet")
        for quiet, stroke in longest
    ]


def _quiet_words(quiet_ms: int) -> str:
    """A pause to the minute; one that rounds to none is told as less than a minute."""
    return hours_words(quiet_ms / MINUTE_MS) if quiet_ms >= MINUTE_MS / 2 else "less than a minute"


def _beside(*parts: QWidget) -> QWidget:
    row = QWidget()
    layout = QHBoxLayout(row)
    layout.setContentsMargins(0, 0, 0, 0)
    for part in parts:
        layout.addWidget(part, 1)
    return row


def _photo_list() -> QListWidget:
    photos = QListWidget()
    photos.setViewMode(QListWidget.ViewMode.IconMode)
    photos.setIconSize(THUMB)
    photos.setWordWrap(True)
    photos.setMovement(QListWidget.Movement.Static)
    photos.setResizeMode(QListWidget.ResizeMode.Adjust)
    photos.setMinimumHeight(THUMB.height() // 2)
    photos.setAccessibleName("Photographs of the cloth")
    # Without photographs their room stays free; the fields above would be torn apart to fill it.
    policy = photos.sizePolicy()
    policy.setRetainSizeWhenHidden(True)
    photos.setSizePolicy(policy)
    return photos
