"""Pieces of the sheets' pictures: one square with its neighbours in colour, many squares in grey."""

from collections import OrderedDict
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QImage

from stitchview.chart.model import Chart, Sheet

SIDE = 24
"""Pixels a side of a square in grey."""

MOST_BYTES = 256 << 20

Grey = NDArray[np.uint8]
Places = NDArray[np.intp]


class PaperPieces:
    """Cuts squares from the pictures of one chart's sheets; the pictures looked at last are kept."""

    def __init__(self, sheets: Sequence[Sheet] = (), pictures: Mapping[str, bytes] | None = None) -> None:
        self._pictures = pictures or {}
        self._sheets = [sheet for sheet in sheets if sheet.picture in self._pictures]
        self._colour: OrderedDict[str, QImage] = OrderedDict()
        self._grey: OrderedDict[str, Grey] = OrderedDict()

    def around(self, column: int, row: int, around: int) -> QImage:
        """The paper of a square with so many squares around it; null where no sheet shows it."""
        number = self._sheet_at(column, row)
        if number is None:
            return QImage()
        sheet = self._sheets[number]
        whole = self._whole(sheet.picture)
        wide, high = whole.width() / sheet.area.columns, whole.height() / sheet.area.rows
        left, top = column - sheet.area.column - around, row - sheet.area.row - around
        size = 2 * around + 1
        # Beyond the sheet's edge Qt fills with nothing, so that the square stays in the middle.
        return whole.copy(
            QRect(round(left * wide), round(top * high), round(size * wide), round(size * high))
        )

    def squares(self, places: Places, columns: int) -> Grey:
        """The squares (n, SIDE, SIDE) at places in rows * ``columns``; white where no sheet shows them."""
        found = np.full((len(places), SIDE, SIDE), 255, np.uint8)
        rows, across = np.divmod(places, columns)
        shown = self._shown_on(rows, across)
        for number in np.unique(shown).tolist():
            if number < len(self._sheets):
                here, area = shown == number, self._sheets[number].area
                table = self._table(self._sheets[number])
                found[here] = table[rows[here] - area.row, :, across[here] - area.column]
        return found

    def by_sheet(self, places: Places, columns: int) -> Places:
        """The places in the order of the sheets that show them, so that few pictures are opened at a time."""
        shown = self._shown_on(*np.divmod(places, columns))
        return np.asarray(places[np.argsort(shown, kind="stable")], np.intp)

    def _shown_on(self, rows: Places, columns: Places) -> Places:
        """Which sheet shows each square, the first that does; their count where none."""
        shown = np.full(len(rows), len(self._sheets))
        for number in reversed(range(len(self._sheets))):
            area = self._sheets[number].area
            inside = (columns >= area.column) & (columns < area.right) & (rows >= area.row)
            shown[inside & (rows < area.bottom)] = number
        return shown

    def _sheet_at(self, column: int, row: int) -> int | None:
        return next((at for at, sheet in enumerate(self._sheets) if sheet.area.holds(column, row)), None)

    def _whole(self, name: str) -> QImage:
        whole = self._colour.pop(name, None)
        if whole is None:
            loaded = QImage.fromData(self._pictures[name])
            whole = loaded.convertToFormat(QImage.Format.Format_ARGB32_Premultiplied)
            held = whole.sizeInBytes() + sum(each.sizeInBytes() for each in self._colour.values())
            while self._colour and held > MOST_BYTES:
                held -= self._colour.popitem(last=False)[1].sizeInBytes()
        self._colour[name] = whole
        return whole

    def _table(self, sheet: Sheet) -> Grey:
        """A sheet's squares as (rows, SIDE, columns, SIDE)."""
        table = self._grey.pop(sheet.picture, None)
        if table is None:
            table = _grey_squares(self._pictures[sheet.picture], sheet)
            held = table.nbytes + sum(each.nbytes for each in self._grey.values())
            while self._grey and held > MOST_BYTES:
                held -= self._grey.popitem(last=False)[1].nbytes
        self._grey[sheet.picture] = table
        return table


def pieces_of(chart: Chart) -> PaperPieces:
    """The pieces of a chart's sheets."""
    return PaperPieces(chart.sheets, chart.attachments)


def _grey_squares(content: bytes, sheet: Sheet) -> Grey:
    columns, rows = sheet.area.columns, sheet.area.rows
    picture = QImage.fromData(content)
    if picture.isNull():
        return np.full((rows, SIDE, columns, SIDE), 255, np.uint8)
    way = Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation
    sized = picture.scaled(columns * SIDE, rows * SIDE, *way)
    grey = sized.convertToFormat(QImage.Format.Format_Grayscale8)
    lines = np.frombuffer(grey.constBits(), np.uint8).reshape(grey.height(), -1)
    return lines[:, : columns * SIDE].reshape(rows, SIDE, columns, SIDE).copy()
