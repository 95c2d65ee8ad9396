"""Reading a sheet again, or adding the next, loses nothing she did."""

from dataclasses import replace

import numpy as np

from stitchview.chart.model import Chart
from stitchview.chart.review import ByHand, Decided
from stitchview.sheets.charting import Reading, chart_of
from stitchview.sheets.joining import join_sheets
from stitchview.sheets.rereading import laid_onto
from stitchview.sheets.sheetreading import SheetReading
from tests.paper.printing import Paper, printed_sheets
from tests.sheets.truthreading import true_sheets

PRINTED = printed_sheets(50, 36, 9, 4, Paper(across=2, overlap=4))
LEFT, RIGHT = true_sheets(PRINTED)


def chart_from(*sheets: SheetReading) -> Chart:
    """The chart of these sheets alone."""
    return chart_of(Reading(sheets, join_sheets(sheets)))


def decided(kind: Decided, *box: int) -> ByHand:
    """One decision by hand, in half squares."""
    x1, y1, x2, y2 = (np.array([value], np.int32) for value in box)
    return ByHand(np.array([kind], np.uint8), x1, y1, x2, y2)


def numbers(fresh: Chart, old: Chart) -> list[int]:
    """The old number of each fresh entry, told by the names both were given."""
    known = {entry.name: number for number, entry in enumerate(old.key, 1)}
    return [known.get(entry.name, 0) for entry in fresh.key]


def test_reading_again_changes_nothing_by_itself() -> None:
    """The same sheet read twice in the same way is the same chart."""
    old = chart_from(LEFT)
    again = laid_onto(old, chart_from(LEFT), (0, 0), numbers(old, old))
    assert np.array_equal(again.squares, old.squares)
    assert again.key == old.key
    assert again.identity == old.identity
    assert (len(again.lines), len(again.points), len(again.sheets)) == (
        len(old.lines), len(old.points), len(old.sheets),
    )  # fmt: skip


def test_corrected_squares_stay_and_others_are_read_afresh() -> None:
    """What she put right is not undone; a square nobody touched takes the better reading."""
    read = chart_from(LEFT)
    squares = read.squares.copy()
    squares[4:6, 10:13] = 1
    squares[20, 20] = squares[20, 20] % 9 + 1
    old = replace(read, squares=squares, by_hand=decided(Decided.SQUARES, 20, 8, 26, 12))
    again = laid_onto(old, read, (0, 0), numbers(read, old))
    assert (again.squares[4:6, 10:13] == 1).all()
    assert again.squares[20, 20] == read.squares[20, 20]
    assert again.by_hand == old.by_hand


def test_the_next_sheet_at_the_left_moves_the_origin_and_no_address() -> None:
    """Squares keep their addresses when a sheet is added at the left, and so the done layer fits."""
    old = replace(chart_from(RIGHT), origin=(5, -2), by_hand=decided(Decided.LINES, 6, 6, 8, 6))
    fresh = chart_from(LEFT)
    whole = laid_onto(old, fresh, (-23, 0), numbers(fresh, old))
    assert whole.origin == (5 - 23, -2)
    assert np.array_equal(whole.squares[:, 23:], old.squares)
    assert whole.squares.shape == (36, 50)
    assert whole.by_hand.x1.tolist() == [6 + 46]
    assert [sheet.area.column for sheet in whole.sheets] == [23, 0]
    renamed = [replace(entry, name="Chalk") if n == 0 else entry for n, entry in enumerate(old.key)]
    named = laid_onto(replace(old, key=tuple(renamed)), fresh, (-23, 0), numbers(fresh, old))
    assert named.key[0].name == "Chalk"
    assert np.array_equal(named.squares, whole.squares)


def test_lines_taken_out_by_hand_do_not_come_back() -> None:
    """A line she took out stays out, one she laid stays, and unfounded ones go."""
    read = chart_from(LEFT)
    first = [int(table[0]) for table in (read.lines.x1, read.lines.y1, read.lines.x2, read.lines.y2)]
    rest = np.arange(1, len(read.lines))
    lines = read.lines
    old = replace(
        read,
        lines=type(lines)(
            np.append(lines.x1[rest], 1).astype(np.int32),
            np.append(lines.y1[rest], 1).astype(np.int32),
            np.append(lines.x2[rest], 1).astype(np.int32),
            np.append(lines.y2[rest], 3).astype(np.int32),
            np.append(lines.kinds[rest], 1).astype(np.uint8),
            np.append(lines.keys[rest], 1).astype(np.uint16),
        ),
        by_hand=decided(Decided.LINES, *first),
    )
    again = laid_onto(old, read, (0, 0), numbers(read, old))
    ends = np.stack([again.lines.x1, again.lines.y1, again.lines.x2, again.lines.y2], axis=1).tolist()
    assert first not in ends
    assert [1, 1, 1, 3] not in ends
    kept = laid_onto(
        replace(old, by_hand=decided(Decided.LINES, 1, 1, 1, 3)), read, (0, 0), numbers(read, old)
    )
    ends = np.stack([kept.lines.x1, kept.lines.y1, kept.lines.x2, kept.lines.y2], axis=1).tolist()
    assert first in ends
    assert [1, 1, 1, 3] in ends


def test_a_read_sheet_takes_the_place_of_one_not_read() -> None:
    """A sheet followed on its picture becomes squares when its symbols are read."""
    old = chart_from(replace(LEFT, read=False))
    fresh = chart_from(LEFT)
    whole = laid_onto(old, fresh, (0, 0), [0] * len(fresh.key))
    assert np.array_equal(whole.squares == 0, fresh.squares == 0)
    assert whole.sheets[0].read
    assert len(whole.sheets) == 1
    back = laid_onto(whole, old, (0, 0), [1] * len(old.key))
    assert np.array_equal(back.squares, whole.squares)
