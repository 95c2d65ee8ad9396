"""The print dialog: what it offers, what it says beforehand, and what it writes."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pypdfium2  # type: ignore[import-untyped]
import pytest
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox, QWidget

from stitchview.canvas.desk import Desk
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.ownuse import OWN_USE
from stitchview.done.layerfile import open_layer
from stitchview.follow.numbering import Numbering
from stitchview.plan.printplan import print_plan
from stitchview.plan.printwish import DoneAs
from stitchview.ui.bench import lay_out
from stitchview.ui.printing.printdialog import PrintDialog
from stitchview.ui.printing.toprinter import send


class Follower:
    """Listens to the canvas, and does nothing."""

    def view_changed(self, view: View) -> None: ...


class Desks:
    """A bench with a chart on it, and the print dialog over it."""

    def __init__(self, chart: Chart, folder: Path) -> None:
        self.folder = folder
        self.desk = Desk(open_layer(folder / "harbour.svchart", chart, folder / "elsewhere", "sofa"))
        self.bench = lay_out(self.desk, Follower())
        self.parent = QWidget()
        self.bench.canvas.setParent(self.parent)
        self.bench.canvas.set_painter(self.bench.painter)
        self.dialog = PrintDialog(self.bench, folder, "Harbour", self.parent)
        self.dialog.refresh(Numbering.TOP_LEFT)
        self.dialog.show()

    def close(self) -> None:
        self.dialog.close()
        self.desk.close()
        self.parent.deleteLater()


@pytest.fixture
def desks(
    qapp: QApplication, random_chart: Callable[[int, int, int, int], Chart], tmp_path: Path
) -> Iterator[Desks]:
    """A chart of ninety by seventy squares, about to be printed."""
    assert qapp
    made = Desks(random_chart(90, 70, 6, 3), tmp_path)
    yield made
    made.close()


def test_it_says_beforehand_how_much_paper_it_takes(desks: Desks) -> None:
    """Sheets and pages follow every field, and her own use is named quietly."""
    dialog = desks.dialog
    assert dialog.own_use.text() == OWN_USE
    told = dialog.told.text()
    assert told.startswith("The chart on 4 sheets of A4")
    dialog.form.side.setValue(2.0)
    assert dialog.told.text().startswith("The chart on 1 sheet of A4")
    dialog.form.side.setValue(25.0)
    assert "sheet" in dialog.told.text()
    dialog.form.true_size.setChecked(True)
    assert not dialog.form.side.isEnabled()
    assert dialog.form.wish(Numbering.TOP_LEFT).pitch == desks.bench.piece.pitch


def test_the_band_can_be_printed_alone(desks: Desks) -> None:
    """With a band laid, it is offered; what was chosen stays when the dialog is opened again."""
    desks.bench.band.over_rows((10, 10))
    lit = desks.bench.band.lit
    assert lit is not None
    desks.dialog.refresh(Numbering.CENTRE)
    form = desks.dialog.form
    at = next(each for each in range(form.part.count()) if "band" in form.part.itemText(each))
    form.part.setCurrentIndex(at)
    form.part.activated.emit(at)
    assert form.wish(Numbering.CENTRE).area == Area(lit.column, lit.row, lit.columns, lit.rows)
    desks.dialog.refresh(Numbering.CENTRE)
    assert "band" in form.part.currentText()


def test_what_cannot_be_printed_is_said_and_cannot_be_pressed(desks: Desks) -> None:
    """Nothing is done yet, so there is something left; where nothing is, the buttons are off."""
    form = desks.dialog.form
    form.done.setCurrentIndex(2)
    form.done.activated.emit(2)
    assert form.wish(Numbering.TOP_LEFT).done is DoneAs.LEFT_OUT
    assert desks.dialog.save.isEnabled()
    form.offer([("nowhere", Area(500, 500, 3, 3))], desks.bench.piece.pitch)
    form.altered.emit()
    assert "outside the chart" in desks.dialog.told.text()
    assert not desks.dialog.save.isEnabled()
    assert not desks.dialog.write(desks.folder / "none.pdf")


def test_it_saves_what_was_asked_for(desks: Desks) -> None:
    """By the button a place is asked; a folder that is not there is said and nothing is lost."""
    dialog = desks.dialog
    dialog.save.click()
    asked = dialog.findChild(QFileDialog)
    assert asked is not None
    assert asked.isVisible()
    asked.fileSelected.emit(str(desks.folder / "sheets.pdf"))
    asked.reject()
    document = pypdfium2.PdfDocument(desks.folder / "sheets.pdf")
    assert len(document) == 6
    document.close()
    assert dialog.told.text() == "Wrote “sheets.pdf”: 6 pages."
    assert not dialog.write(desks.folder / "nowhere" / "sheets.pdf")
    box = dialog.findChild(QMessageBox)
    assert box is not None
    box.close()


def test_it_sends_the_pages_to_a_printer(desks: Desks) -> None:
    """A printer is asked for, and as many pages come out of it as were told."""
    desks.dialog.to_printer.click()
    asked = desks.dialog.findChild(QPrintDialog)
    assert asked is not None
    assert asked.isVisible()
    printer = asked.printer()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(desks.folder / "printed.pdf"))
    asked.accepted.emit(printer)
    asked.reject()
    document = pypdfium2.PdfDocument(desks.folder / "printed.pdf")
    assert len(document) == 6
    document.close()


@pytest.mark.qt_log_ignore("QPainter::begin", extend=True)
def test_a_printer_that_takes_nothing_is_said(desks: Desks) -> None:
    """One sentence, and the dialog is there still."""
    plan = print_plan(desks.desk.marks, desks.dialog.form.wish(Numbering.TOP_LEFT))
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(desks.folder / "nowhere" / "printed.pdf"))
    assert not send(plan, printer, desks.dialog)
    box = desks.dialog.findChild(QMessageBox)
    assert box is not None
    assert "takes no pages" in box.text()
    box.close()
