"""The window in which a piece is finished: what is left, its measured size, what it took, its sheet."""

from datetime import date
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QDate, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QFormLayout,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from stitchview.errors import StitchviewError
from stitchview.follow.clothpitch import INCH_MM
from stitchview.plan.cardpages import PAPERS, Paper
from stitchview.plan.clothsize import Size
from stitchview.plan.finishedpieces import FinishedPieces
from stitchview.plan.finishing import Ending
from stitchview.plan.finishwords import CAUTION, sheet_facts, sheet_threads, state_words, what_to_do
from stitchview.ui.finishworks import FinishDoor
from stitchview.ui.messages import say_error
from stitchview.ui.planning.asking import FileWish, ask_to_save
from stitchview.ui.planning.lessonsdialog import LessonsDialog
from stitchview.ui.planning.planpage import (
    GAP,
    Facts,
    add_field,
    day_box,
    heading,
    number_box,
    words_label,
)
from stitchview.ui.settingsdialog import Scrolling

REST_MS = 150
MOST_MEASURED = 2000.0
UNITS = (("cm", 10.0), ("in", INCH_MM))
CARRY = "&Let other pieces learn from it"


class FinishTeller(Protocol):
    """Who knows the end of the piece and notes it."""

    door: FinishDoor
    path: Path
    title: str

    def ending(self) -> Ending:
        """The end of the piece as it is now."""

    def note(self, day: date, size: Size | None, carried: bool) -> None:
        """Note that it is finished."""

    def renew_lessons(self) -> None:
        """Reckon with other lessons."""

    def write_sheet(self, path: Path, paper: Paper) -> None:
        """Write the finished sheet."""

    @property
    def kept(self) -> FinishedPieces:
        """The finished pieces others learn from."""

    @property
    def carried(self) -> bool:
        """Whether others may learn from it by now."""


class FinishDialog(QDialog):
    """Fields at the left, all that can be told at the right; it stays open beside the chart."""

    def __init__(self, teller: FinishTeller, parent: QWidget) -> None:
        super().__init__(parent)
        self._teller = teller
        self.setWindowTitle("Finish the piece")
        self.told, self.said = words_label(), words_label()
        self.said.setAccessibleName("What came of it")
        self.wide = number_box((0, MOST_MEASURED), "Measured width", 1)
        self.high = number_box((0, MOST_MEASURED), "Measured height", 1)
        for box in (self.wide, self.high):
            box.setSpecialValueText("not measured")
        self.unit = QComboBox()
        self.unit.setAccessibleName("What it was measured in")
        for name, millimetres in UNITS:
            self.unit.addItem("centimetres" if name == "cm" else "inches", millimetres)
        self.day = day_box(QDate.currentDate(), "Finished on")
        self.carry = QCheckBox(CARRY)
        self.carry.setChecked(True)
        self.note = QPushButton("&Note as finished")
        self.last = QPushButton("The last &things …")
        self.threads = QPushButton("Thread &used, wash tests …")
        self.lessons = QPushButton("What finished &pieces teach …")
        self.paper = QComboBox()
        self.paper.setAccessibleName("Paper of the finished sheet")
        for name, paper in PAPERS.items():
            self.paper.addItem(paper.name, name)
        self.save = QPushButton("&Save the finished sheet …")
        self.facts, self.used = Facts(), Facts()
        self._filled = False
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.refresh)
        self._lay_out()
        self._connect()
        self.resize(860, 520)

    def follow(self) -> None:
        """Tell anew once hands rest; while it is hidden, when it is shown next."""
        if self.isVisible():
            self._rest.start()

    def refresh(self) -> None:
        """Tell how things are now."""
        self._rest.stop()
        try:
            ending = self._teller.ending()
        except StitchviewError as error:
            self.told.setText(str(error))
            for part in (self.note, self.save):
                part.setEnabled(False)
            return
        self.told.setText(" ".join(filter(None, (state_words(ending), what_to_do(ending)))))
        for field in (self.wide, self.high, self.unit, self.day, self.carry, self.note):
            field.setEnabled(ending.ready)
        self.save.setEnabled(ending.ready and ending.note is not None)
        self.facts.tell(sheet_facts(ending))
        parts = (words.partition(": ") for _, words in sheet_threads(ending))
        self.used.tell([(name, words) for name, _, words in parts])
        self._fill(ending)

    @property
    def size_told(self) -> Size | None:
        """What stands in the fields, None for nothing."""
        unit = float(self.unit.currentData())
        wide, high = self.wide.value() * unit, self.high.value() * unit
        return Size(wide, high) if wide or high else None

    def write(self, path: Path) -> bool:
        """Write the finished sheet; whether it could be written. What stands in the way is said."""
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            self._teller.write_sheet(path, PAPERS[self.paper.currentData()])
        except StitchviewError as error:
            say_error(self, error)
            return False
        finally:
            QGuiApplication.restoreOverrideCursor()
        self.said.setText(f"Wrote “{path.name}”.")
        return True

    def _fill(self, ending: Ending) -> None:
        """Fill the fields once with what was noted before."""
        if self._filled or ending.note is None:
            return
        self._filled = True
        unit = float(self.unit.currentData())
        self.wide.setValue(ending.note.width_mm / unit)
        self.high.setValue(ending.note.height_mm / unit)
        day = ending.note.date
        self.day.setDate(QDate(day.year, day.month, day.day))
        self.carry.setChecked(self._teller.carried)

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setVerticalSpacing(8)
        add_field(form, "&Width", self.wide)
        add_field(form, "&Height", self.high)
        add_field(form, "&In", self.unit)
        add_field(form, "Finished &on", self.day)
        fields = QWidget()
        left = QVBoxLayout(fields)
        left.setContentsMargins(0, 0, GAP, 0)
        left.addWidget(heading("Measured from the first to the last stitch"))
        left.addLayout(form)
        for part in (self.carry, self.note, self.said, self.last, self.threads, self.lessons):
            left.addWidget(part)
        sheet = QGridLayout()
        sheet.addWidget(self.save, 0, 0)
        sheet.addWidget(self.paper, 0, 1)
        sheet.setColumnStretch(0, 1)
        left.addLayout(sheet)
        left.addStretch(1)
        right = QWidget()
        told = QVBoxLayout(right)
        for part in (self.facts, heading("Threads"), self.used, words_label(CAUTION, quiet=True)):
            told.addWidget(part)
        told.addStretch(1)
        halves = QHBoxLayout()
        halves.addWidget(Scrolling(fields), 2)
        halves.addWidget(Scrolling(right), 3)
        outer = QVBoxLayout(self)
        outer.addWidget(self.told)
        outer.addLayout(halves, 1)
        for button in (self.note, self.last, self.threads, self.lessons, self.save):
            button.setAutoDefault(False)

    def _connect(self) -> None:
        self.note.clicked.connect(self._note)
        self.last.clicked.connect(self._open_last)
        self.threads.clicked.connect(self._open_threads)
        self.lessons.clicked.connect(self._open_lessons)
        self.save.clicked.connect(self._ask)

    def _note(self) -> None:
        told = self.day.date()
        carried = self.carry.isChecked()
        try:
            self._teller.note(date(told.year(), told.month(), told.day()), self.size_told, carried)
        except StitchviewError as error:
            say_error(self, error)
            return
        self._filled = True
        learns = "Other pieces may learn from it." if carried else "No other piece learns from it."
        self.said.setText(f"Noted. {learns}")
        self.refresh()

    def _open_last(self) -> None:
        self._teller.door.open_last_things()

    def _open_threads(self) -> None:
        self._teller.door.open_thread_plan()

    def _open_lessons(self) -> None:
        LessonsDialog(self._teller.kept, self._teller.renew_lessons, self).open()

    def _ask(self) -> None:
        name = f"{self._teller.title}, finished.pdf".replace("/", "-")
        wish = FileWish("Save the finished sheet", "PDF (*.pdf)", "pdf", self._teller.path.parent / name)
        ask_to_save(wish, self.write, self)
