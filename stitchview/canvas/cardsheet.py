"""The thread card on paper, as a PDF of lines and letters, and one card as a small picture for the screen."""

from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QSizeF, Qt
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter, QPdfWriter

from stitchview.canvas.cardface import UNITS, CardFace
from stitchview.canvas.picture import application
from stitchview.chart.model import Chart
from stitchview.errors import CommandError
from stitchview.plan.card import ThreadCard
from stitchview.plan.cardpages import A4, USUAL_SHAPE, CardPlace, CardShape, Page, Paper, card_pages
from stitchview.safefile import write_bytes

# So many dots to the inch make one of the painter's units a hundredth of a millimetre.
_DOTS = 25.4 * UNITS
_LARGEST_PICTURE = 20_000


def card_pdf(chart: Chart, card: ThreadCard, paper: Paper = A4, shape: CardShape = USUAL_SHAPE) -> bytes:
    """The sheets of a thread card as a PDF file.

    Raises `CommandError` where no card of that shape fits on the paper.
    """
    pages = card_pages(card, paper, shape)
    # Fonts need Qt's application; the command line may not have made one yet.
    running = application()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = _writer(buffer, paper, chart.title)
    painter, face = QPainter(writer), CardFace(chart)
    for page in pages:
        if page.number > 1:
            writer.newPage()
        _draw_page(painter, face, page)
    painter.end()
    del writer, running
    return bytes(buffer.data().data())


def write_card(
    chart: Chart, card: ThreadCard, path: Path, paper: Paper = A4, shape: CardShape = USUAL_SHAPE
) -> int:
    """Write the PDF in one step and give its number of sheets; raises `StitchviewError`."""
    write_bytes(path, card_pdf(chart, card, paper, shape))
    return len(card_pages(card, paper, shape))


def card_picture(chart: Chart, place: CardPlace, pixels_per_mm: float = 4.0, ratio: float = 1.0) -> QImage:
    """One card of the sheets, drawn on white for a screen with `ratio` device pixels to a pixel."""
    application()
    scale = pixels_per_mm * ratio
    width, height = round(place.edge.width * scale), round(place.edge.height * scale)
    if not (0 < width <= _LARGEST_PICTURE and 0 < height <= _LARGEST_PICTURE):
        raise CommandError(
            "A card cannot be drawn that large or small.", "Ask for 1 to 40 pixels a millimetre."
        )
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.scale(scale / UNITS, scale / UNITS)
    painter.translate(-place.edge.left * UNITS, -place.edge.top * UNITS)
    CardFace(chart).draw(painter, place)
    painter.end()
    image.setDevicePixelRatio(ratio)
    return image


def _draw_page(painter: QPainter, face: CardFace, page: Page) -> None:
    for card in page.cards:
        face.draw(painter, card)


def _writer(buffer: QBuffer, paper: Paper, title: str) -> QPdfWriter:
    writer = QPdfWriter(buffer)
    writer.setTitle(f"{title}: thread card" if title else "Thread card")
    writer.setCreator("stitchview")
    writer.setResolution(round(_DOTS))
    size = QPageSize(
        QSizeF(paper.width, paper.height),
        QPageSize.Unit.Millimeter,
        paper.name,
        QPageSize.SizeMatchPolicy.ExactMatch,
    )
    writer.setPageLayout(QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF()))
    return writer
