"""Comma-separated tables by RFC 4180: cells and rows as text, whatever program wrote them."""

import csv
import io
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from stitchview.chart.inputfile import read_plain
from stitchview.chart.limits import MOST_TABLE_BYTES
from stitchview.errors import ChartError

_QUOTED = re.compile(r'"(?:[^"]|"")*"')
_NEEDS_QUOTES = re.compile(r'[",;\t\r\n]|^\s|\s$')
# A spreadsheet may run a cell that begins so as a formula; the apostrophe makes it plain text.
_FORMULA = re.compile(r"'*[=+\-@\t\r]")
_GUARDED = re.compile(r"'+[=+\-@\t\r]")
_FIRST_ROW = 200_000


def read_rows(path: Path) -> Iterator[list[str]]:
    """The rows of the CSV file at `path`, empty ones left out.

    UTF-8 with or without a byte order mark, or UTF-16 with one; commas, or else semicolons or
    tabs. Raises `ChartError` with the row when a quote does not fit.
    """
    text = _text(path)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    try:
        yield from (row for row in reader if row)
    except csv.Error as error:
        raise ChartError(
            f"“{path.name}”: line {reader.line_num} is not CSV ({str(error).lower()}).",
            "Save the table again as CSV.",
        ) from error


def cell(text: str) -> str:
    """One cell; semicolons and tabs are quoted too, so that every reader finds the same cells."""
    return '"' + text.replace('"', '""') + '"' if _NEEDS_QUOTES.search(text) else text


def row_text(cells: Iterable[str]) -> str:
    """A row of cells made by `cell`, ended by CR LF."""
    return ",".join(cells) + "\r\n"


def guarded(text: str) -> str:
    """Free text that no spreadsheet takes for a formula."""
    return f"'{text}" if _FORMULA.match(text) else text


def unguarded(text: str) -> str:
    """The text as it was before `guarded`."""
    return text[1:] if _GUARDED.match(text) else text


def _text(path: Path) -> str:
    content = read_plain(path, MOST_TABLE_BYTES)
    wide = content[:2] in (b"\xff\xfe", b"\xfe\xff")
    try:
        text = content.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError as error:
        raise ChartError(
            f"“{path.name}”: byte {error.start + 1} is not {'UTF-16' if wide else 'UTF-8'} text.",
            "Save the table as CSV in UTF-8.",
        ) from error
    if "\0" in text:
        raise ChartError(f"“{path.name}” is not a table in text.", "Save the table as CSV in UTF-8.")
    return text


def _delimiter(text: str) -> str:
    first = _QUOTED.sub("", text[:_FIRST_ROW]).partition("\n")[0]
    return next((sign for sign in ",;\t" if sign in first), ",")
