"""A chart on sheets of paper: as a PDF of lines and letters, or straight to a printer."""

from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QSizeF
from PySide6.QtGui import QPagedPaintDevice, QPageLayout, QPageSize, QPainter, QPdfWriter

from stitchview.canvas.picture import application
from stitchview.canvas.printdiffers import differ_pages, draw_differences
from stitchview.canvas.printedges import (
    PageTitle,
    draw_edges,
    draw_head_and_foot,
    draw_small_map,
    sheet_words,
)
from stitchview.canvas.printface import PrintFace, done_words
from stitchview.canvas.printkeyface import PrintKeyFace
from stitchview.canvas.printmap import draw_map
from stitchview.canvas.printpen import UNITS
from stitchview.errors import CommandError
from stitchview.plan.printkey import key_pages
from stitchview.plan.printplan import PrintPlan
from stitchview.safefile import write_bytes

# So many dots to the inch make one of the painter's units a hundredth of a millimetre.
_INCH = 25.4
_DOTS = _INCH * UNITS


def page_count(plan: PrintPlan) -> int:
    """How many pages there are: a map if there are several sheets, the sheets, the key, and what differs."""
    return _maps(plan) + len(plan.sheets) + len(key_pages(plan)) + len(differ_pages(plan))


def print_pdf(plan: PrintPlan) -> bytes:
    """All pages as a PDF file."""
    # Fonts need Qt's application; the command line may not have made one yet.
    running = application()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setTitle(f"{plan.chart.title}: printed sheets" if plan.chart.title else "Printed sheets")
    writer.setCreator("stitchview")
    writer.setResolution(round(_DOTS))
    writer.setPageLayout(page_layout(plan))
    draw_pages(plan, writer)
    del writer, running
    return bytes(buffer.data().data())


def write_print(plan: PrintPlan, path: Path) -> int:
    """Write the PDF in one step and give its number of pages; raises `StitchviewError`."""
    write_bytes(path, print_pdf(plan))
    return page_count(plan)


def page_layout(plan: PrintPlan) -> QPageLayout:
    """The paper as the plan turns it, without margins: the plan keeps its own."""
    short, long = sorted((plan.paper.width, plan.paper.height))
    size = QPageSize(
        QSizeF(short, long),
        QPageSize.Unit.Millimeter,
        plan.paper.name,
        QPageSize.SizeMatchPolicy.ExactMatch,
    )
    way = QPageLayout.Orientation.Landscape if plan.lying else QPageLayout.Orientation.Portrait
    return QPageLayout(size, way, QMarginsF())


def draw_pages(plan: PrintPlan, device: QPagedPaintDevice) -> None:
    """Draw all pages on a device with the plan's `page_layout`; raises `CommandError` if it takes none."""
    painter = QPainter()
    if not painter.begin(device):
        raise CommandError(
            "The printer takes no pages.", "Look whether it is on, or save a PDF and print that."
        )
    try:
        scale = device.logicalDpiX() / _DOTS
        painter.scale(scale, scale)
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform)
        _Pages(plan, painter, device).draw()
    finally:
        painter.end()


class _Pages:
    """Draws page after page."""

    def __init__(self, plan: PrintPlan, painter: QPainter, device: QPagedPaintDevice) -> None:
        self._plan, self._painter, self._device = plan, painter, device
        self._face, self._keys = PrintFace(plan), key_pages(plan)
        self._of = page_count(plan)
        self._number = 0

    def draw(self) -> None:
        """Draw the map, the sheets, the key, and the list of what differs."""
        plan, painter = self._plan, self._painter
        more = done_words(plan.wish.done)
        if _maps(plan):
            draw_head_and_foot(painter, plan, self._turned("Which sheet lies where"))
            draw_map(painter, plan, self._number + 1)
        for sheet in plan.sheets:
            title = self._turned(sheet_words(plan, sheet, more))
            room = draw_small_map(painter, plan, sheet)
            draw_head_and_foot(painter, plan, title, room)
            self._face.draw(painter, sheet)
            draw_edges(painter, plan, sheet)
        key = PrintKeyFace(self._face)
        for at, lines in enumerate(self._keys, 1):
            which = f" {at} of {len(self._keys)}" if len(self._keys) > 1 else ""
            here = "" if plan.area == plan.chart.area else " · counted in the printed region"
            draw_head_and_foot(painter, plan, self._turned(f"Key{which}{here}"))
            key.draw(painter, lines)
        for told in differ_pages(plan):
            draw_head_and_foot(painter, plan, self._turned("Where the cloth differs from the bought chart"))
            draw_differences(painter, plan, told)

    def _turned(self, words: str) -> PageTitle:
        """Begin the next page, which is `words`."""
        if self._number:
            self._device.newPage()
        self._number += 1
        return PageTitle(self._number, self._of, words)


def _maps(plan: PrintPlan) -> int:
    return 1 if len(plan.sheets) > 1 else 0
