"""A patch as a small text file: one line a row, the codes of the key, a full stop for bare, ? for open."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from stitchview.chart.inputfile import open_plain, reason
from stitchview.chart.model import NO_STITCH, KeyEntry, OwnEntry
from stitchview.chart.problems import counted
from stitchview.errors import CommandError
from stitchview.follow.clothpatch import BARE, LARGEST, OPEN_SQUARE, ClothPatch, check_size

OPEN_SIGN, BLANK = "?", " "
"""Both stand for a square left open; where the key has the code ?, only the blank does."""

MOST_BYTES = 4096

_BYTE_ORDER_MARK = "\ufeff"


def read_patch(path: Path, key: Sequence[KeyEntry]) -> ClothPatch:
    """The patch in the file at `path`; raises `CommandError` in one sentence that names the place."""
    name = path.name or str(path)
    try:
        file, size = open_plain(path)
        with file:
            content = file.read(MOST_BYTES + 1)
    except FileNotFoundError as error:
        raise CommandError(f"“{name}” is not there.", "Check the name and the folder.") from error
    except (OSError, ValueError) as error:
        raise CommandError(
            f"“{name}” cannot be read ({reason(error)}).", "Check that you may open it."
        ) from error
    if max(size, len(content)) > MOST_BYTES:
        raise CommandError(
            f"“{name}” has more than {MOST_BYTES:,} bytes.",
            f"A patch has at most {LARGEST} rows of {LARGEST} squares.",
        )
    try:
        return patch_from_text(content.decode("utf-8"), key)
    except UnicodeDecodeError as error:
        row = content.count(b"\n", 0, error.start) + 1
        raise CommandError(
            f"“{name}”, row {row}: it is not UTF-8 text.", "Save the patch as plain text in UTF-8."
        ) from error
    except CommandError as error:
        raise CommandError(f"“{name}”: {error.what[:1].lower()}{error.what[1:]}", error.remedy) from error


def patch_from_text(text: str, key: Sequence[KeyEntry]) -> ClothPatch:
    """The patch of some rows of code characters; raises `CommandError` that names row and square from 1.

    Empty lines before and after it do not count. All rows are of one length.
    """
    rows = text.removeprefix(_BYTE_ORDER_MARK).replace("\r\n", "\n").split("\n")
    while rows and not rows[-1]:
        rows.pop()
    before = next((number for number, row in enumerate(rows) if row), 0)
    rows = rows[before:]
    if not rows:
        raise CommandError("The patch is empty.", "Fill in at least one stitched square.")
    _check_lengths(rows, before)
    numbers = {_sign(entry): number for number, entry in enumerate(key, 1)}
    signs = {OPEN_SIGN: OPEN_SQUARE} | numbers | {NO_STITCH: BARE, BLANK: OPEN_SQUARE}
    squares = np.full((len(rows), len(rows[0])), OPEN_SQUARE, np.int32)
    for row, line in enumerate(rows):
        for column, sign in enumerate(line):
            if sign not in signs:
                raise CommandError(
                    f"Row {before + row + 1}, square {column + 1} of the patch: "
                    f"{_named(sign)} is no code of the key.",
                    f"Use the key's codes, {NO_STITCH} for bare cloth and {_open_words(numbers)} for open.",
                )
            squares[row, column] = signs[sign]
    return ClothPatch(squares)


def patch_to_text(patch: ClothPatch, key: Sequence[KeyEntry]) -> str:
    """The rows of the patch, each ended by LF, as `patch_from_text` reads them."""
    codes = [_sign(entry) for entry in key]
    open_sign = BLANK if OPEN_SIGN in codes else OPEN_SIGN
    signs = {OPEN_SQUARE: open_sign, BARE: NO_STITCH} | dict(enumerate(codes, 1))
    return "".join("".join(signs[number] for number in row) + "\n" for row in patch.squares.tolist())


def _sign(entry: KeyEntry) -> str:
    """One character; the code of a thread of her own has many, but its symbol is no code of the key."""
    return entry.symbol.text if isinstance(entry, OwnEntry) else entry.code


def _check_lengths(rows: Sequence[str], before: int) -> None:
    for number, row in enumerate(rows, before + 1):
        if len(row) != len(rows[0]):
            raise CommandError(
                f"Row {number} of the patch has {counted(len(row), 'square')}, "
                f"row {before + 1} has {counted(len(rows[0]), 'square')}.",
                "Fill the shorter rows up with open squares.",
            )
    check_size(len(rows), len(rows[0]))


def _open_words(numbers: dict[str, int]) -> str:
    return "a blank" if OPEN_SIGN in numbers else OPEN_SIGN


def _named(sign: str) -> str:
    return f"“{sign}”" if sign.isprintable() else f"the character U+{ord(sign):04X}"
