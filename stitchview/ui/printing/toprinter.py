"""Sends printed sheets to a printer that is asked for."""

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtPrintSupport import QAbstractPrintDialog, QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QWidget

from stitchview.canvas.printsheets import draw_pages, page_layout
from stitchview.errors import StitchviewError
from stitchview.plan.printplan import PrintPlan
from stitchview.ui.messages import say_error


def ask_printer(plan: PrintPlan, parent: QWidget) -> None:
    """Ask for a printer, and print on it."""
    # The dialog does not keep its printer alive; what is called when it is accepted does.
    printer = _printer(plan)
    asked = QPrintDialog(printer, parent)
    asked.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    asked.setOption(QAbstractPrintDialog.PrintDialogOption.PrintPageRange, False)
    asked.accepted.connect(partial(_send, plan, parent, printer))
    # Its own way to open takes a slot by name; this is the one of every dialog.
    QDialog.open(asked)


def send(plan: PrintPlan, printer: QPrinter, parent: QWidget | None) -> bool:
    """Print all pages on the plan's paper; whether that could be done. What stands in the way is said."""
    # Whatever was chosen beside: the plan keeps its own margins, and its size.
    printer.setFullPage(True)
    printer.setPageLayout(page_layout(plan))
    QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
    try:
        draw_pages(plan, printer)
    except StitchviewError as error:
        say_error(parent, error)
        return False
    finally:
        QGuiApplication.restoreOverrideCursor()
    return True


def _printer(plan: PrintPlan) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(f"{plan.chart.title}: sheets" if plan.chart.title else "Printed sheets")
    printer.setFullPage(True)
    printer.setPageLayout(page_layout(plan))
    return printer


def _send(plan: PrintPlan, parent: QWidget, _kept: QPrinter, chosen: QPrinter) -> None:
    send(plan, chosen, parent)
