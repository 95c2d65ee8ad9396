"""A chart as two CSV tables (RFC 4180), its squares with a cell each and its key, both ways."""

from collections.abc import Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.csvkey import codes_for, key_table, plain_entry, read_key_table
from stitchview.chart.entries.members import text_fault
from stitchview.chart.interchange import Imported, left_behind
from stitchview.chart.limits import MOST_CELL
from stitchview.chart.model import (
    MOST_COLUMNS,
    MOST_KEY_ENTRIES,
    MOST_ROWS,
    NO_STITCH,
    Chart,
    KeyEntry,
    Squares,
)
from stitchview.chart.plaintables import cell, read_rows, row_text, unguarded
from stitchview.chart.problems import counted
from stitchview.errors import ChartError
from stitchview.safefile import replacing_all

_NONE = ("", NO_STITCH)


def key_path_for(squares_path: Path) -> Path:
    """Where the key lies beside a table of squares: `dusk.csv` has `dusk-key.csv`."""
    return squares_path.with_name(f"{squares_path.stem}-key{squares_path.suffix}")


def write_csv(chart: Chart, squares_path: Path, key_path: Path) -> tuple[str, ...]:
    """Write both tables, neither before both are on the disk; gives what they could not hold.

    Raises `StitchviewError` when they cannot be written.
    """
    cells = [NO_STITCH, *(cell(entry.code) for entry in chart.key)]
    squares = "".join(row_text(cells[number] for number in row.tolist()) for row in chart.squares)
    key = "".join(key_table(chart.key))
    replacing_all({squares_path: squares.encode("utf-8"), key_path: key.encode("utf-8")})
    return left_behind(chart, "A table")


def read_csv(squares_path: Path, key_path: Path | None = None) -> Imported:
    """The chart in a table of squares and, when there is one, a table of its key.

    A cell holds a code, or any text of up to 20 characters that the key names; an empty cell or a
    full stop is no stitch. Without a key every different text becomes a thread. Raises
    `ChartError` naming the row.
    """
    key = None if key_path is None else read_key_table(key_path)
    squares, labels = _read_squares(squares_path, key)
    if key is not None:
        return Imported(Chart(squares, tuple(key.values())), ())
    entries = tuple(plain_entry(code, label) for label, code in zip(labels, codes_for(labels), strict=True))
    note = "Without a key table the threads have no names and colours yet."
    return Imported(Chart(squares, entries), (note,))


def _read_squares(path: Path, key: Mapping[str, KeyEntry] | None) -> tuple[Squares, tuple[str, ...]]:
    """Key numbers of shape (rows, columns), and the texts they stand for in their order."""
    labels = _Labels(path, key)
    rows: list[NDArray[np.uint16]] = []
    for cells in read_rows(path):
        width = len(rows[0]) if rows else len(cells)
        if len(cells) != width:
            found = counted(len(cells), "cell")
            raise ChartError(
                f"“{path.name}”: row {len(rows) + 1} has {found}, the first has {width:,}.",
                "Give every row as many cells.",
            )
        if width > MOST_COLUMNS or len(rows) == MOST_ROWS:
            raise ChartError(
                f"“{path.name}” has more than {MOST_COLUMNS:,} columns or {MOST_ROWS:,} rows.",
                "Split the chart.",
            )
        rows.append(labels.numbers_of(cells, len(rows) + 1))
    if not rows:
        raise ChartError(f"“{path.name}” has no squares.", "Choose another table.")
    return np.stack(rows), tuple(labels.known)


class _Labels:
    """The texts that stand for threads; without a key, new ones are taken in as they are met."""

    def __init__(self, path: Path, key: Mapping[str, KeyEntry] | None) -> None:
        self.known = {label: number for number, label in enumerate(key or (), 1)}
        self._path = path
        self._grows = key is None
        self._seen = dict.fromkeys(_NONE, 0) | self.known

    def numbers_of(self, cells: list[str], row: int) -> NDArray[np.uint16]:
        """Key numbers of one row's cells."""
        for column, cell_text in enumerate(cells, 1):
            if cell_text not in self._seen:
                self._seen[cell_text] = self._number(unguarded(cell_text).strip(), row, column)
        return np.fromiter(map(self._seen.__getitem__, cells), np.uint16, len(cells))

    def _number(self, label: str, row: int, column: int) -> int:
        if label in _NONE:
            return 0
        place = f"“{self._path.name}”: row {row}, column {column}"
        if not self._grows and label not in self.known:
            raise ChartError(
                f"{place} holds “{label[:MOST_CELL]}”, which the key does not name.", "Add it to the key."
            )
        if label not in self.known:
            if fault := text_fault(label, MOST_CELL):
                raise ChartError(f"{place} {fault}.", "A cell holds a code or a short name.")
            if len(self.known) == MOST_KEY_ENTRIES:
                raise ChartError(
                    f"{place} is one thread too many for {MOST_KEY_ENTRIES:,}.", "Use fewer threads."
                )
            self.known[label] = len(self.known) + 1
        return self.known[label]
