"""Reads her list of owned threads: every row is kept, and what cannot be so is said row by row."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from stitchview.chart.entries.members import text_fault
from stitchview.chart.limits import MOST_LABEL
from stitchview.chart.plaintables import unguarded
from stitchview.chart.problems import counted
from stitchview.plan.stash import Holding, RowFault, Stash
from stitchview.plan.stashamounts import colour_of, skeins_of
from stitchview.plan.stashcolumns import StashColumns, checked_columns, seen_columns
from stitchview.plan.stashtable import Row, StashError, Table, read_table

_TEXTS = ("name", "number", "range", "kind", "lot")
_MOST_HEADINGS = 200


@dataclass(frozen=True, slots=True)
class StashReading:
    """What was read: the stash, the columns it was read by, what to know of it, and what is wrong in it."""

    stash: Stash
    columns: StashColumns
    notes: tuple[str, ...] = ()
    faults: tuple[RowFault, ...] = ()


@dataclass(frozen=True, slots=True)
class _Row:
    """The cells of one row by the headings of their columns."""

    line: int
    told: Mapping[str, str]


def read_stash(path: Path, columns: StashColumns | None = None) -> StashReading:
    """The stash in the list at `path`, by `columns` or, without them, by headings in everyday use.

    A cell that cannot be so (skeins below none, a colour that is none) becomes a fault and is kept
    as it stands; the row is read all the same. Where no column tells skeins each row is one skein.
    Raises `StashError` when there is no list or no telling its columns.
    """
    table = read_table(path)
    headings = _headings(table)
    rows = _rows(table.rows[1:], headings)
    if columns is None:
        columns = _by_cells(seen_columns(headings), rows)
    columns = checked_columns(columns, headings, path.name)
    if not rows:
        raise StashError(f"“{path.name}” has headings but no threads.", "Add a row for each thread.")
    used = set(columns.told.values())
    others = tuple(heading for heading in headings if heading not in used)
    faults: list[RowFault] = []
    holdings = tuple(_holding(row, columns, others, faults) for row in rows)
    notes = (*table.notes, *_notes(holdings, columns, others))
    return StashReading(Stash(holdings, others), columns, notes, tuple(faults))


def read_headings(path: Path) -> tuple[str, ...]:
    """The headings of the list at `path`, for asking once which column is which; raises `StashError`."""
    return _headings(read_table(path))


def _headings(table: Table) -> tuple[str, ...]:
    """The headings; nameless columns that have cells and doubled ones are given names of their own."""
    wide = max(len(row.cells) for row in table.rows)
    if wide > _MOST_HEADINGS:
        raise StashError(f"The list has {wide:,} columns.", "Keep those that say something of the threads.")
    cells = [unguarded(cell).strip() for cell in table.rows[0].cells]
    cells += [""] * (wide - len(cells))
    headings: list[str] = []
    for place, heading in enumerate(cells, 1):
        name = heading or f"column {place}"
        while name in headings:
            name = f"{name} ({place})"
        headings.append(name)
    while headings and not cells[len(headings) - 1] and not _any_cell(table.rows[1:], len(headings) - 1):
        headings.pop()
    return tuple(headings)


def _any_cell(rows: Sequence[Row], place: int) -> bool:
    return any(len(row.cells) > place and row.cells[place].strip() for row in rows)


def _rows(rows: Sequence[Row], headings: Sequence[str]) -> tuple[_Row, ...]:
    return tuple(
        _Row(row.line, {heading: unguarded(cell) for heading, cell in zip(headings, row.cells, strict=False)})
        for row in rows
    )


def _by_cells(columns: StashColumns, rows: Sequence[_Row]) -> StashColumns:
    """A column headed “colour” that holds words and no colours is the thread's name."""
    if columns.name or not columns.colour:
        return columns
    cells = [text for row in rows if (text := row.told.get(columns.colour, "").strip())]
    if not cells or any(_is_colour(text) for text in cells):
        return columns
    return replace(columns, name=columns.colour, colour="")


def _is_colour(text: str) -> bool:
    try:
        return colour_of(text) is not None
    except ValueError:
        return False


def _holding(row: _Row, columns: StashColumns, others: Sequence[str], faults: list[RowFault]) -> Holding:
    told = {use: row.told.get(heading, "") for use, heading in columns.told.items()}
    members: dict[str, Any] = {}
    unread: dict[str, str] = {}
    for use, member, what in _members(told):
        members[use] = member
        if what:
            unread[use] = told[use]
            faults.append(RowFault(row.line, what))
    if not columns.skeins:
        members["skeins"] = 1.0
    if not (members.get("name") or members.get("number") or unread):
        faults.append(RowFault(row.line, "it has neither a name nor a number"))
    other = {heading: cell for heading in others if (cell := row.told.get(heading, ""))}
    return Holding(**members, line=row.line, other=other, unread=unread)


def _members(told: Mapping[str, str]) -> Iterator[tuple[str, object, str]]:
    """Each told use, what it holds, and what is wrong with it."""
    for use, cell in told.items():
        if use in _TEXTS:
            text = " ".join(cell.split())
            fault = text_fault(text, MOST_LABEL)
            yield use, text[:MOST_LABEL] if not fault else "", f"the {use} {fault}" if fault else ""
            continue
        try:
            yield use, skeins_of(cell) if use == "skeins" else colour_of(cell), ""
        except ValueError as error:
            yield use, None, str(error)


def _notes(holdings: Sequence[Holding], columns: StashColumns, others: Sequence[str]) -> Iterator[str]:
    if not columns.skeins:
        yield "No column tells skeins, so that each row counts as one skein."
    elif untold := sum(holding.skeins is None and "skeins" not in holding.unread for holding in holdings):
        rows = "1 row does" if untold == 1 else f"{untold:,} rows do"
        yield f"{rows} not tell how many skeins there are; none are counted."
    if not columns.colour:
        yield "No column tells colours, so that no substitutes can be looked for."
    if others:
        named = ", ".join(f"“{heading[:40]}”" for heading in others[:12])
        yield f"{counted(len(others), 'column').capitalize()} not used, but kept: {named}."
