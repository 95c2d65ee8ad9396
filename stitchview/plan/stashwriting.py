"""Writes her stash as a list that every spreadsheet reads, under her own headings if she has some."""

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

from stitchview.chart.plaintables import cell, guarded, row_text
from stitchview.plan.stash import Holding, Stash
from stitchview.plan.stashcolumns import OUR_COLUMNS, StashColumns
from stitchview.safefile import write_bytes


def write_stash(stash: Stash, path: Path, columns: StashColumns = OUR_COLUMNS) -> None:
    """Write all holdings as CSV (RFC 4180, UTF-8) in one step, with the columns that are only kept.

    Raises `StitchviewError` when it cannot be written; the old list then stands as it was.
    """
    write_bytes(path, "".join(stash_rows(stash, columns)).encode("utf-8"))


def stash_rows(stash: Stash, columns: StashColumns = OUR_COLUMNS) -> Iterator[str]:
    """The rows, headings first; a use that `columns` leaves out gets our heading where a holding tells it."""
    headings = columns.told
    for use, heading in OUR_COLUMNS.told.items():
        if use not in headings and any(_cell(holding, use) for holding in stash.holdings):
            headings[use] = _free(heading, (*headings.values(), *stash.other_headings))
    yield row_text(cell(guarded(text)) for text in (*headings.values(), *stash.other_headings))
    for holding in stash.holdings:
        told = [_cell(holding, use) for use in headings]
        told += [holding.other.get(heading, "") for heading in stash.other_headings]
        yield row_text(cell(guarded(text)) for text in told)


def _free(heading: str, taken: tuple[str, ...]) -> str:
    return heading if heading not in taken else f"{heading} (stitchview)"


def _cell(holding: Holding, use: str) -> str:
    if use in holding.unread:
        return holding.unread[use]
    if use == "colour":
        return holding.colour.hex if holding.colour else ""
    if use == "skeins":
        return "" if holding.skeins is None else _number(holding.skeins)
    return str(getattr(holding, use))


def _number(amount: float) -> str:
    return str(int(amount)) if amount.is_integer() else f"{Decimal(repr(amount)):f}"
