"""Her list as rows of text, whichever program wrote it: encoding and separator found, then RFC 4180."""

import codecs
import csv
import io
import re
from dataclasses import dataclass
from pathlib import Path

from stitchview.chart.inputfile import ReadAs, read_plain
from stitchview.errors import StitchviewError

MOST_BYTES = 64 * 1024 * 1024
MOST_ROWS = 100_000
_SEPARATORS = ",;\t|"
_QUOTED = re.compile(r'"(?:[^"]|"")*"')
# Some spreadsheets name the separator in a first line of its own.
_NAMED_SEPARATOR = re.compile(r'"?sep=([,;\t|])"?\r?\n')
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_LOOKED_AT = 4096


class StashError(StitchviewError):
    """A list of owned threads cannot be read or written as it stands."""


AS_LIST = ReadAs(StashError, "a list", "Choose a list with headings and a row for each thread.")


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its number as a spreadsheet counts rows, headings being 1, and its cells."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """The rows of a list that are not empty, headings first, and what she should know of the reading."""

    rows: tuple[Row, ...]
    notes: tuple[str, ...]


def read_table(path: Path) -> Table:
    """The rows of the list at `path`.

    Commas, semicolons, tabs or bars stand between cells; UTF-8, UTF-16, UTF-32 or Windows-1252.
    Raises `StashError` in one sentence for what is no such list.
    """
    text, notes = _decoded(read_plain(path, MOST_BYTES, AS_LIST), path)
    named = _NAMED_SEPARATOR.match(text)
    separator = named.group(1) if named else _separator(text)
    reader = csv.reader(
        io.StringIO(text[named.end() :] if named else text, newline=""), delimiter=separator, strict=True
    )
    rows: list[Row] = []
    try:
        for number, cells in enumerate(reader, 1):
            if any(cell.strip() for cell in cells):
                rows.append(Row(number, tuple(cells)))
            if len(rows) > MOST_ROWS:
                raise StashError(f"“{path.name}” has more than {MOST_ROWS:,} rows.", "Split the list.")
    except csv.Error as error:
        place = reader.line_num + (1 if named else 0)
        raise StashError(
            f"“{path.name}”: line {place:,} is not CSV ({str(error).lower()}).", "Save the list again as CSV."
        ) from error
    if not rows:
        raise StashError(f"“{path.name}” is empty.", "Choose a list with headings and a row for each thread.")
    return Table(tuple(rows), notes)


def _decoded(content: bytes, path: Path) -> tuple[str, tuple[str, ...]]:
    """The text, and a note where the encoding is a guess."""
    encoding = next((encoding for mark, encoding in _MARKS if content.startswith(mark)), "")
    encoding = encoding or _wide_without_mark(content[:_LOOKED_AT]) or "utf-8"
    notes: tuple[str, ...] = ()
    try:
        text = content.decode(encoding)
    except UnicodeDecodeError as error:
        if encoding != "utf-8":
            raise _no_text(path) from error
        text = _old_text(content, path)
        notes = ("The list is not in UTF-8 and was read as Windows-1252; look whether accents are right.",)
    if "\0" in text:
        raise _no_text(path)
    return text, notes


def _old_text(content: bytes, path: Path) -> str:
    try:
        return content.decode("cp1252")
    except UnicodeDecodeError as error:
        raise _no_text(path) from error


def _no_text(path: Path) -> StashError:
    return StashError(
        f"“{path.name}” is not a table in text.", "In your spreadsheet, save the list as CSV in UTF-8."
    )


def _wide_without_mark(start: bytes) -> str:
    """UTF-16 without its mark shows every second byte zero, for a list is mostly plain letters."""
    halves = start[0::2], start[1::2]
    zeros = [half.count(0) for half in halves]
    if zeros[1] * 2 > len(halves[1]) and not zeros[0]:
        return "utf-16-le"
    return "utf-16-be" if zeros[0] * 2 > len(halves[0]) and not zeros[1] else ""


def _separator(text: str) -> str:
    """The sign that stands most often in the headings, outside quotes."""
    first = _QUOTED.sub("", text.lstrip("\r\n")[:200_000]).partition("\n")[0]
    return max(_SEPARATORS, key=first.count)
