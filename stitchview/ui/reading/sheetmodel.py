"""The pictures on the reading table as a list in their order, a row for each."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QIcon, QImage, QPixmap

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.sheets.onesheet import Preview
from stitchview.sheets.reading import FoundSheet
from stitchview.sheets.tablecells import Cell
from stitchview.ui.reading.laying import Laying
from stitchview.ui.reading.sheetjobs import News, Page
from stitchview.ui.reading.tablesheet import State, TableSheet

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
THUMB = 56


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, and the words of a row in it."""

    heading: str
    words: Callable[[TableSheet], str]


def _doubts(sheet: TableSheet) -> str:
    return " ".join(sheet.doubts) or ("none" if sheet.found is not None else "")


def _name(sheet: TableSheet) -> str:
    return sheet.name


def _words(sheet: TableSheet) -> str:
    return sheet.words


def _size(sheet: TableSheet) -> str:
    return sheet.size


COLUMNS = (
    Column("Sheet", _name),
    Column("Squares", _size),
    Column("How far it is", _words),
    Column("Doubts", _doubts),
)


class SheetModel(QAbstractTableModel):
    """Holds the sheets; rows keep their key through every change."""

    def __init__(self) -> None:
        super().__init__()
        self._sheets: list[TableSheet] = []
        self._icons: dict[int, tuple[Preview, QIcon]] = {}
        self._keys = 0
        self._laying = Laying()

    @property
    def sheets(self) -> Sequence[TableSheet]:
        """All sheets in their order."""
        return tuple(self._sheets)

    def add(self, path: Path, asking: int) -> None:
        """Put another file at the end, which is looked for under the number of an asking."""
        self._insert(len(self._sheets), TableSheet(self._next_key(), path, asking=asking))

    def waits_for(self, asking: int) -> bool:
        """Whether any sheet is still to come by an asking."""
        return any(sheet.asking == asking and sheet.busy for sheet in self._sheets)

    def take(self, news: News) -> None:
        """Take over what has become of a page; all pages of a file get rows as soon as they are counted."""
        row = self._row_of(news)
        if row is None:
            return
        sheet = self._sheets[row]
        if news.trouble:
            sheet = replace(sheet, state=State.FAILED, trouble=news.trouble, found=None, flat=None)
        elif news.found is not None:
            sheet = replace(sheet, state=State.FOUND, trouble="", found=news.found, flat=news.flat)
        else:
            sheet = replace(sheet, state=State.LOOKING, preview=news.preview)
        self.put(sheet)
        if news.found is not None and not self._laying.ordered:
            self._lay_by_numbers()

    def put(self, sheet: TableSheet) -> None:
        """Put a sheet in the place of the one with its key."""
        row = self.row_of(sheet.key)
        if row is not None:
            self._sheets[row] = sheet
            self.dataChanged.emit(self.index(row, 0), self.index(row, len(COLUMNS) - 1))

    def row_of(self, key: int) -> int | None:
        """The row of a sheet, None where it is gone."""
        return next((row for row, sheet in enumerate(self._sheets) if sheet.key == key), None)

    def remove(self, row: int) -> None:
        """Take a sheet off the table."""
        self.beginRemoveRows(QModelIndex(), row, row)
        gone = self._sheets.pop(row)
        self._laying.removed(row)
        self._icons.pop(gone.key, None)
        self.endRemoveRows()

    def move(self, row: int, by: int) -> bool:
        """Move a sheet up (below 0) or down by rows; whether there was room."""
        to = row + by
        if not by or not (0 <= row < len(self._sheets) and 0 <= to < len(self._sheets)):
            return False
        self.beginMoveRows(QModelIndex(), row, row, QModelIndex(), to + 1 if by > 0 else to)
        self._sheets.insert(to, self._sheets.pop(row))
        self._laying.moved()
        self.endMoveRows()
        return True

    # Where they lie

    @property
    def cells(self) -> Sequence[Cell]:
        """Where each sheet lies on the table, row by row as their order is."""
        return self._laying.cells

    @property
    def areas(self) -> Sequence[Area]:
        """What each sheet shows of the chart; empty while that is not known of all."""
        return self._laying.areas

    @property
    def found(self) -> list[FoundSheet]:
        """The sheets that were found, in their order, each with its cell where she has laid them herself."""
        cells = self.cells if self._laying.by_hand else [None] * len(self._sheets)
        pairs = zip(self._sheets, cells, strict=True)
        return [replace(sheet.found, cell=cell) for sheet, cell in pairs if sheet.found is not None]

    def lay(self, row: int, cell: Cell) -> None:
        """Lay a sheet elsewhere; one that lies there changes places with it."""
        self._reorder(self._laying.put(row, cell))

    def lay_as_read(self, chart: Chart) -> None:
        """Lay the sheets as they lie in a chart that was read from them, if all of them are in it."""
        areas: list[Area] = []
        left = list(chart.sheets)
        for sheet in self._sheets:
            there = next((one for one in left if one.name == sheet.name), None)
            if there is None or sheet.found is None:
                return
            left.remove(there)
            areas.append(there.area)
        if areas:
            self._reorder(self._laying.know(areas))

    def _lay_by_numbers(self) -> None:
        """Lay the sheets by the numbers printed around them, once those of all of them are known."""
        areas = [_area(sheet.found) for sheet in self._sheets]
        known = [area for area in areas if area is not None]
        if len(known) == len(areas) and len({(area.column, area.row) for area in known}) == len(known):
            self._reorder(self._laying.know(known))

    def _reorder(self, order: Sequence[int]) -> None:
        self.layoutAboutToBeChanged.emit()
        rank = {sheet: at for at, sheet in enumerate(order)}
        before = self.persistentIndexList()
        self._sheets = [self._sheets[at] for at in order]
        after = [self.index(rank[index.row()], index.column()) for index in before]
        self.changePersistentIndexList(before, after)
        self.layoutChanged.emit()

    def _row_of(self, news: News) -> int | None:
        """The row that news is of, None where it was taken away or is looked for anew."""
        if news.page.of > 1:
            self._make_rows(news.page)
        for row, sheet in enumerate(self._sheets):
            if sheet.asking == news.page.asking and (news.page.of <= 1 or sheet.page == news.page.number):
                return row
        return None

    def _make_rows(self, page: Page) -> None:
        for row, sheet in enumerate(self._sheets):
            if sheet.asking == page.asking and sheet.pages == 1:
                self.put(replace(sheet, pages=page.of))
                for number in range(2, page.of + 1):
                    more = TableSheet(
                        self._next_key(), sheet.path, number, page.of, sheet.state, asking=page.asking
                    )
                    self._insert(row + number - 1, more)
                return

    def _insert(self, row: int, sheet: TableSheet) -> None:
        self.beginInsertRows(QModelIndex(), row, row)
        self._sheets.insert(row, sheet)
        self._laying.added()
        self.endInsertRows()

    def _next_key(self) -> int:
        self._keys += 1
        return self._keys

    # What Qt asks

    def rowCount(self, parent: Index | None = None) -> int:
        """As many rows as sheets."""
        return 0 if parent is not None and parent.isValid() else len(self._sheets)

    def columnCount(self, parent: Index | None = None) -> int:
        """The columns of the table."""
        return 0 if parent is not None and parent.isValid() else len(COLUMNS)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = 0) -> object:
        """The headings, and the rows' numbers."""
        if role != Role.DisplayRole:
            return None
        return COLUMNS[section].heading if orientation is Qt.Orientation.Horizontal else str(section + 1)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Rows are chosen and dragged; they are dropped between rows."""
        fixed = Qt.ItemFlag.ItemIsDropEnabled
        return super().flags(index) | Qt.ItemFlag.ItemIsDragEnabled if index.isValid() else fixed

    def data(self, index: Index, role: int = 0) -> object:
        """The words of a cell, and a small picture of the sheet."""
        sheet, column = self._sheets[index.row()], COLUMNS[index.column()]
        if role in (Role.DisplayRole, Role.ToolTipRole):
            return column.words(sheet)
        if role == Role.AccessibleTextRole:
            return f"{column.heading}: {column.words(sheet)}"
        if role == Role.DecorationRole and index.column() == 0 and sheet.preview is not None:
            return self._icon(sheet.key, sheet.preview)
        return None

    def _icon(self, key: int, preview: Preview) -> QIcon:
        kept = self._icons.get(key)
        if kept is None or kept[0] is not preview:
            whole = QPixmap.fromImage(image_of(preview))
            way = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
            kept = self._icons[key] = (preview, QIcon(whole.scaled(THUMB * 2, THUMB * 2, *way)))
        return kept[1]


def _area(found: FoundSheet | None) -> Area | None:
    """What a sheet shows of the chart by the numbers printed around it."""
    if found is None or found.first is None:
        return None
    return Area(*found.first, found.lattice.columns, found.lattice.rows)


def image_of(preview: Preview) -> QImage:
    """A preview as Qt draws it; it holds its own pixels."""
    high, wide = preview.colour.shape[:2]
    pixels = preview.colour
    return QImage(pixels.data, wide, high, pixels.strides[0], QImage.Format.Format_RGB888).copy()
