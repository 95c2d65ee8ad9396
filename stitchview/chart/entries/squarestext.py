"""The squares as text: one line a row, one character a square, the full stop for no stitch."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.containers.entrynames import SQUARES_ENTRY
from stitchview.chart.entries.strictjson import BYTE_ORDER_MARK
from stitchview.chart.model import MOST_ROWS, NO_STITCH, Squares
from stitchview.chart.problems import Findings, counted

_UNKNOWN = np.uint16(0xFFFF)
_LINE_END = ord("\n")
_ALL_CHARACTERS = 0x110000

Characters = NDArray[Any]


def read_squares(content: bytes, codes: Sequence[str], size: tuple[int, int], findings: Findings) -> Squares:
    """The squares of `content` as key numbers, of shape `size` = (rows, columns); 0 is no stitch.

    UTF-8, with or without a byte order mark; lines end with LF or CR LF, the last one may go
    without. Ragged rows and characters that are no code of the key are added to `findings`; the
    array is then of the right shape all the same, and empty where nothing could be read.
    """
    rows, columns = size
    characters = _characters(content, findings)
    if characters.size and characters[-1] != _LINE_END:
        characters = np.append(characters, np.array(_LINE_END, characters.dtype))
    lined = characters.size == rows * (columns + 1)
    if not lined or not _is_regular(characters.reshape(rows, columns + 1)):
        _find_ragged(characters, size, findings)
        return np.zeros(size, np.uint16)
    grid = characters.reshape(rows, columns + 1)
    squares = _lookup(codes, characters.dtype.itemsize == 1)[grid[:, :-1]]
    if squares.size and squares.max() == _UNKNOWN:
        _find_strangers(grid[:, :-1], squares, findings)
        squares[squares == _UNKNOWN] = 0
    return squares


def write_squares(squares: Squares, codes: Sequence[str]) -> bytes:
    """The text of `squares` in UTF-8, each row ended by LF; `codes[n - 1]` is written for n."""
    table = np.array([ord(code) for code in (NO_STITCH, *codes)], np.uint32)
    narrow = int(table.max()) < 128
    signs = table.astype(np.uint8) if narrow else table.astype("<u4")
    grid = np.full((squares.shape[0], squares.shape[1] + 1), _LINE_END, signs.dtype)
    grid[:, :-1] = signs[squares]
    content = grid.tobytes()
    return content if narrow else content.decode("utf-32-le").encode("utf-8")


def _characters(content: bytes, findings: Findings) -> Characters:
    body = content.removeprefix(BYTE_ORDER_MARK)
    if b"\r" in body:
        body = body.replace(b"\r\n", b"\n")
    if body.isascii():
        return np.frombuffer(body, np.uint8)
    try:
        return np.frombuffer(body.decode("utf-8").encode("utf-32-le"), "<u4").astype(np.uint32, copy=False)
    except UnicodeDecodeError as error:
        row = body.count(b"\n", 0, error.start) + 1
        raise findings.stop(
            f"row {row} is not UTF-8 text", SQUARES_ENTRY, "Save the text as UTF-8."
        ) from error


def _is_regular(grid: Characters) -> bool:
    return bool((grid[:, -1] == _LINE_END).all()) and int((grid == _LINE_END).sum()) == grid.shape[0]


def _lookup(codes: Sequence[str], narrow: bool) -> Squares:
    table = np.full(256 if narrow else _ALL_CHARACTERS, _UNKNOWN)
    table[ord(NO_STITCH)] = 0
    for number, code in enumerate(codes, 1):
        if ord(code) < len(table):
            table[ord(code)] = number
    return table


def _find_ragged(characters: Characters, size: tuple[int, int], findings: Findings) -> None:
    rows, columns = size
    ends = characters == _LINE_END
    count = int(np.count_nonzero(ends))
    if count <= MOST_ROWS:
        widths = np.diff(np.flatnonzero(ends), prepend=-1) - 1
        for row in np.flatnonzero(widths != columns):
            width, wanted = counted(int(widths[row]), "square"), counted(columns, "column")
            findings.add(f"row {row + 1} has {width}, the chart has {wanted}", SQUARES_ENTRY)
    if count != rows:
        findings.add(f"it has {counted(count, 'row')}, the chart has {rows:,}", SQUARES_ENTRY)


def _find_strangers(grid: Characters, squares: Squares, findings: Findings) -> None:
    rows, columns = np.nonzero(squares == _UNKNOWN)
    strangers = grid[rows, columns]
    signs, first, counts = np.unique(strangers, return_index=True, return_counts=True)
    for at in np.argsort(first):
        row, column = rows[first[at]] + 1, columns[first[at]] + 1
        times = "" if counts[at] == 1 else f" ({counts[at]:,} squares in all)"
        findings.add(
            f"row {row}, square {column}: {_named(int(signs[at]))} is no code of the key{times}",
            SQUARES_ENTRY,
        )


def _named(sign: int) -> str:
    return f"“{chr(sign)}”" if chr(sign).isprintable() and sign != 0x20 else f"the character U+{sign:04X}"
