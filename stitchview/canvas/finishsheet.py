"""The finished sheet as a PDF: the piece as it looks, its days and hours, cloth, size and threads."""

from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QFont,
    QFontMetricsF,
    QImage,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
    QTextOption,
)

from stitchview.canvas.cardtext import fitted, font_of
from stitchview.canvas.clothpicture import ClothWish, now_picture
from stitchview.canvas.picture import application
from stitchview.canvas.printpen import UNITS
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import Colour
from stitchview.chart.model import UNTOLD
from stitchview.done.marks import Marks
from stitchview.errors import CommandError
from stitchview.plan.cardpages import A4, Paper
from stitchview.plan.finishing import Ending
from stitchview.plan.finishwords import sheet_facts, sheet_threads, sheet_title
from stitchview.safefile import write_bytes

_DOTS = 25.4 * UNITS
_PIXELS, _FINEST = 2400, 24
_MARGIN, _GAP = 16.0, 4.0
_PICTURE_SHARE = 0.42
_NAMES_WIDE, _SWATCH, _COLUMNS = 32.0, 3.4, 2
# On white: the text 15 : 1, the small print 7 : 1; lines only divide.
_INK, _QUIET, _LINE = Colour(0x22, 0x20, 0x1E), Colour(0x55, 0x51, 0x4C), Colour(0xC9, 0xC5, 0xBD)
_BOLD = QFont.Weight.DemiBold


def finish_pdf(marks: Marks, ending: Ending, paper: Paper = A4) -> bytes:
    """The sheet as a PDF file, one page unless there are very many threads.

    Raises `CommandError` for a piece that is not noted as finished.
    """
    if ending.note is None or not ending.ready:
        raise CommandError(
            "A finished sheet is for a finished piece.", "Note first that the piece is finished."
        )
    running = application()
    picture = _picture(marks, ending)
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setTitle(f"{sheet_title(ending)}: finished")
    writer.setCreator("stitchview")
    writer.setResolution(round(_DOTS))
    size = QSizeF(paper.width, paper.height)
    exact = QPageSize(size, QPageSize.Unit.Millimeter, paper.name, QPageSize.SizeMatchPolicy.ExactMatch)
    writer.setPageLayout(QPageLayout(exact, QPageLayout.Orientation.Portrait, QMarginsF()))
    painter = QPainter(writer)
    _Sheet(painter, writer, paper).draw(ending, picture)
    painter.end()
    del writer, running
    return bytes(buffer.data().data())


def write_finish(marks: Marks, ending: Ending, path: Path, paper: Paper = A4) -> None:
    """Write the sheet in one step; raises `StitchviewError`."""
    write_bytes(path, finish_pdf(marks, ending, paper))


def _picture(marks: Marks, ending: Ending) -> QImage:
    """The piece as it looks: what is left out is bare cloth. It has no symbols."""
    chart = ending.chart
    pitch = min(_FINEST, max(1, _PIXELS // max(chart.columns, chart.rows)))
    return now_picture(chart, marks.families, ClothWish(pitch), rest=0.0)


@dataclass(eq=False)
class _Sheet:
    """Goes down the page; lengths are in millimetres, the painter's units hundredths of one."""

    painter: QPainter
    writer: QPdfWriter
    paper: Paper
    at: float = _MARGIN

    @property
    def width(self) -> float:
        return self.paper.width - 2 * _MARGIN

    @property
    def bottom(self) -> float:
        return self.paper.height - _MARGIN

    def draw(self, ending: Ending, picture: QImage) -> None:
        """Draw all of it."""
        self.painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform
        )
        self._title(ending)
        self._show(picture, _proportion(ending))
        for name, words in sheet_facts(ending):
            self._fact(name, words)
        self.at += 1.5
        self._threads(sheet_threads(ending))

    def _title(self, ending: Ending) -> None:
        words = fitted(sheet_title(ending), self.width * UNITS, (800, 680, 560, 460, 380), 2, _BOLD)
        self.painter.setPen(as_qt(_INK))
        self.painter.setFont(words.font)
        room = QRectF(_MARGIN * UNITS, self.at * UNITS, self.width * UNITS, words.height)
        for place, line in words.rooms(room):
            self.painter.drawText(place, int(Qt.AlignmentFlag.AlignLeft), line)
        self.at += words.height / UNITS + _GAP

    def _show(self, picture: QImage, proportion: float) -> None:
        """The picture as large as its part of the page allows, in the proportions that were measured."""
        most = self.paper.height * _PICTURE_SHARE
        wide = min(self.width, most / proportion)
        high = wide * proportion
        left = _MARGIN + (self.width - wide) / 2
        room = QRectF(left * UNITS, self.at * UNITS, wide * UNITS, high * UNITS)
        self.painter.drawImage(room, picture)
        self.painter.setPen(QPen(as_qt(_LINE), 0.2 * UNITS))
        self.painter.drawRect(room)
        self.at += high + _GAP

    def _fact(self, name: str, words: str) -> None:
        font = font_of(330)
        left, wide = _MARGIN + _NAMES_WIDE, self.width - _NAMES_WIDE
        high = self._high(words, font, wide)
        self._make_room(high)
        self._text(name, font, QRectF(_MARGIN, self.at, _NAMES_WIDE - 2, high), _QUIET)
        self._text(words, font, QRectF(left, self.at, wide, high), _INK)
        self.at += high + 0.9

    def _threads(self, threads: list[tuple[Colour, str]]) -> None:
        """Threads in two columns, each with its colour, going on overleaf where they must."""
        if not threads:
            return
        bold, font = font_of(330, _BOLD), font_of(270)
        line = QFontMetricsF(bold).height() / UNITS
        wide = (self.width - _GAP * (_COLUMNS - 1)) / _COLUMNS - _SWATCH - 1.6
        rows = [threads[at : at + _COLUMNS] for at in range(0, len(threads), _COLUMNS)]
        highs = [max(_SWATCH, *(self._high(words, font, wide) for _, words in row)) + 0.7 for row in rows]
        self._make_room(line + 1 + highs[0])
        self._text("Threads", bold, QRectF(_MARGIN, self.at, self.width, line), _INK)
        self.at += line + 1
        for row, high in zip(rows, highs, strict=True):
            self._make_room(high)
            for place, (colour, words) in enumerate(row):
                left = _MARGIN + place * (wide + _SWATCH + 1.6 + _GAP)
                self._swatch(colour, left)
                self._text(words, font, QRectF(left + _SWATCH + 1.6, self.at, wide, high), _INK)
            self.at += high

    def _swatch(self, colour: Colour, left: float) -> None:
        box = QRectF(left * UNITS, (self.at + 0.1) * UNITS, _SWATCH * UNITS, (_SWATCH - 0.4) * UNITS)
        if colour != UNTOLD:
            self.painter.fillRect(box, as_qt(colour))
        self.painter.setPen(QPen(as_qt(_LINE), 0.2 * UNITS))
        self.painter.drawRect(box)

    def _make_room(self, high: float) -> None:
        if self.at + high > self.bottom:
            self.writer.newPage()
            self.at = _MARGIN

    def _high(self, words: str, font: QFont, wide: float) -> float:
        self.painter.setFont(font)
        room = QRectF(0, 0, wide * UNITS, 1e7)
        return self.painter.boundingRect(room, words, _wrap()).height() / UNITS

    def _text(self, words: str, font: QFont, room: QRectF, ink: Colour) -> None:
        self.painter.setPen(as_qt(ink))
        self.painter.setFont(font)
        place = QRectF(*(each * UNITS for each in (room.x(), room.y(), room.width(), room.height() + 1)))
        self.painter.drawText(place, words, _wrap())


def _wrap() -> QTextOption:
    """Words are broken only where one is longer than a line."""
    option = QTextOption(Qt.AlignmentFlag.AlignLeft)
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    return option


def _proportion(ending: Ending) -> float:
    """Height by width of the whole chart, with squares as they were measured, else as foretold."""
    pitch = ending.count.pitch if ending.came is None else ending.came.real
    return ending.chart.rows * pitch.down_mm / (ending.chart.columns * pitch.across_mm)
