"""The print dialog: what to print of a chart, how many sheets that takes, and saving or printing them."""

from importlib.util import find_spec
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from stitchview.canvas.printsheets import page_count, write_print
from stitchview.chart.area import Area
from stitchview.chart.ownuse import OWN_USE
from stitchview.chart.problems import counted
from stitchview.errors import StitchviewError
from stitchview.follow.numbering import Numbering
from stitchview.plan.printplan import PrintPlan, print_plan
from stitchview.ui.bench import Bench
from stitchview.ui.messages import say_error
from stitchview.ui.planning.asking import FileWish, ask_to_save
from stitchview.ui.planning.planpage import words_label
from stitchview.ui.printing.printform import PrintForm

WIDTH_LETTERS = 62


class PrintDialog(QDialog):
    """Stands over the board with what was chosen last; the chart can be used beside it."""

    def __init__(self, bench: Bench, folder: Path, title: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench, self._folder, self._title = bench, folder, title
        self._numbering = Numbering.TOP_LEFT
        self._plan: PrintPlan | None = None
        self.setWindowTitle("Print sheets")
        self.form, self.told, self.own_use = PrintForm(), words_label(), words_label(OWN_USE, quiet=True)
        buttons, role = QDialogButtonBox(), QDialogButtonBox.ButtonRole.ActionRole
        self.save = buttons.addButton("&Save as PDF …", role)
        self.to_printer = buttons.addButton("Pr&int …", role)
        # Some systems have Qt without its printing.
        self.to_printer.setVisible(find_spec("PySide6.QtPrintSupport") is not None)
        close = buttons.addButton(QDialogButtonBox.StandardButton.Close)
        self.save.setDefault(True)
        outer = QVBoxLayout(self)
        outer.setSpacing(12)
        for part in (self.form, self.told, self.own_use, buttons):
            outer.addWidget(part)
        self.setMinimumWidth(WIDTH_LETTERS * self.fontMetrics().averageCharWidth())
        self.told.setMinimumHeight(3 * self.fontMetrics().lineSpacing())
        self.form.altered.connect(self._reckon)
        self.save.clicked.connect(self._ask)
        self.to_printer.clicked.connect(self._print)
        close.clicked.connect(self.reject)

    def refresh(self, numbering: Numbering) -> None:
        """Offer what can be printed now."""
        self._numbering = numbering
        parts: list[tuple[str, Area | None]] = [("the whole chart", None)]
        lit = self._bench.band.lit
        if lit is not None and not lit.empty:
            parts.append((f"the band ({lit.columns} x {lit.rows} squares)", lit))
        seen = self._bench.canvas.view.area
        if not seen.empty and seen != self._bench.desk.chart.area:
            parts.append((f"what the window shows ({seen.columns} x {seen.rows} squares)", seen))
        self.form.offer(parts, self._bench.piece.pitch)
        self._reckon()

    def write(self, path: Path) -> bool:
        """Write the PDF; whether it could be written. What stands in the way is said."""
        plan = self._fresh()
        if plan is None:
            return False
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            pages = write_print(plan, path)
        except StitchviewError as error:
            say_error(self, error)
            return False
        finally:
            QGuiApplication.restoreOverrideCursor()
        self.told.setText(f"Wrote “{path.name}”: {counted(pages, 'page')}.")
        return True

    def _fresh(self) -> PrintPlan | None:
        """The plan with the marks as they are now."""
        self._reckon()
        return self._plan

    def _reckon(self) -> None:
        try:
            self._plan = print_plan(self._bench.desk.marks, self.form.wish(self._numbering))
        except StitchviewError as error:
            self._plan = None
            self.told.setText(str(error))
        else:
            self.told.setText(plan_words(self._plan))
        for button in (self.save, self.to_printer):
            button.setEnabled(self._plan is not None)

    def _ask(self) -> None:
        name = f"{self._title} sheets.pdf".replace("/", "-")
        wish = FileWish("Save the sheets", "PDF (*.pdf)", "pdf", self._folder / name)
        ask_to_save(wish, self.write, self)

    def _print(self) -> None:
        # Loaded only now: not every system has it, and few evenings need it.
        from stitchview.ui.printing.toprinter import ask_printer

        plan = self._fresh()
        if plan is not None:
            ask_printer(plan, self)


def plan_words(plan: PrintPlan) -> str:
    """How many sheets and pages a print takes."""
    way = "lying" if plan.lying else "upright"
    sheets, pages = counted(len(plan.sheets), "sheet"), counted(page_count(plan), "page")
    more = "map and key" if len(plan.sheets) > 1 else "key"
    return f"The chart on {sheets} of {plan.paper.name}, {way}; {pages} with the {more}."
