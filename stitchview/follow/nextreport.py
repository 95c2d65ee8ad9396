"""What is next of one thread, told to people in lines and to programs in members."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from stitchview.chart.area import Area
from stitchview.chart.model import KeyEntry
from stitchview.done.change import FAMILIES
from stitchview.done.history import History
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import Pitch, pitch_of
from stitchview.follow.nearest import nearest
from stitchview.follow.numbering import Numbering
from stitchview.follow.place import thread_words
from stitchview.follow.runs import Going, RunList, runs_left
from stitchview.follow.runwords import line_words
from stitchview.follow.spots import Found
from stitchview.follow.threadnames import spoken_names
from stitchview.follow.threadwork import Left, ThreadWork

MOST_CODES_TOLD = 60
KINDS = dict(zip(FAMILIES, ("cross", "part stitch", "line", "knot or bead"), strict=True))


@dataclass(frozen=True, eq=False, slots=True)
class Next:
    """What is next of a thread, seen from the square `place` (column, row from 0).

    `runs` are the runs left from the nearest stitch on, to the end of its row; none for lines,
    knots and beads.
    """

    work: ThreadWork
    number: int
    place: tuple[int, int]
    nearest: Found | None
    left: Left
    runs: RunList

    @property
    def entry(self) -> KeyEntry:
        """The thread's line of the key."""
        return self.work.chart.key[self.number - 1]


def last_place(history: History) -> tuple[int, int]:
    """Where somebody stopped: the middle of the marks made last, else the top left square."""
    latest = history.latest()
    if latest is None or latest.area.empty:
        return 0, 0
    area = latest.area
    return area.column + area.columns // 2, area.row + area.rows // 2


def next_of(work: ThreadWork, code: str, place: tuple[int, int], pitch: Pitch | None = None) -> Next:
    """Find what is next of the thread with a code of the key; raises `CommandError` for what is not there.

    `pitch` is that of her cloth, None that of the cloth which the chart suggests.
    """
    number, chart = number_of(work, code), work.chart
    if not chart.area.holds(*place):
        raise CommandError(
            f"Column {place[0] + 1}, row {place[1] + 1} is not on the chart.",
            f"It has {chart.columns:,} columns and {chart.rows:,} rows, counted from 1 at the top left.",
        )
    found = nearest(work, number, place, pitch or pitch_of(chart.cloth))
    return Next(work, number, place, found, work.left(number), _runs_from(work, number, found))


def number_of(work: ThreadWork, code: str) -> int:
    """The number of the key entry with a code, from 1; raises `CommandError` if there is none."""
    codes = [entry.code for entry in work.chart.key]
    if code in codes:
        return codes.index(code) + 1
    if not codes:
        raise CommandError("The chart has no key, so there is no thread to look for.", "")
    told = " ".join(codes[:MOST_CODES_TOLD]) + (" …" if len(codes) > MOST_CODES_TOLD else "")
    raise CommandError(
        f"No thread has the code “{code}”.", f"The codes of this chart are {told}; “facts” lists them all."
    )


def members_of(told: Next) -> dict[str, Any]:
    """As a JSON object; columns and rows are counted from 1 at the top left, `mm` on the cloth."""
    left, found = told.left, told.nearest
    return {
        "thread": {"code": told.entry.code, "name": told.entry.name, "number": told.entry.number},
        "from": {"column": told.place[0] + 1, "row": told.place[1] + 1},
        "left": {
            "total": left.total,
            "crosses": left.squares,
            "part_stitches": left.parts,
            "lines": left.lines,
            "knots_and_beads": left.points,
        },
        "nearest": found
        and {
            "stitch": KINDS[found.family],
            "column": found.column + 1,
            "row": found.row + 1,
            "mm": round(found.mm, 2),
        },
        "runs": [_run_members(told.runs, at) for at in range(len(told.runs))],
    }


def lines_of(told: Next) -> Iterator[str]:
    """The same as lines to read."""
    found, chart = told.nearest, told.work.chart
    if not told.work.marks.tally.counts[told.number].any():
        yield f"{thread_words(told.entry)}: the chart has no stitch of it."
        return
    if found is None:
        yield f"{thread_words(told.entry)}: all of it is done."
        return
    yield f"{thread_words(told.entry)}: {_left_words(told.left)}."
    spot = f"column {found.column + 1}, row {found.row + 1}"
    away = "right there" if (found.column, found.row) == told.place else f"{found.mm:,.1f} mm away"
    kind = "" if found.family == "squares" else f" ({KINDS[found.family]})"
    yield f"Nearest to column {told.place[0] + 1}, row {told.place[1] + 1}: {spot}{kind}, {away}."
    if len(told.runs):
        words = line_words(told.runs, 0, chart, Numbering.TOP_LEFT, spoken_names(chart.key))
        yield f"{words[:1].upper()}{words[1:]}."


def _left_words(left: Left) -> str:
    counts = (left.squares, left.parts, left.lines, left.points)
    names = (
        ("cross", "crosses"),
        ("part stitch", "part stitches"),
        ("line", "lines"),
        ("knot or bead", "knots and beads"),
    )
    told = [f"{count:,} {name[count != 1]}" for count, name in zip(counts, names, strict=True) if count]
    return f"{left.total:,} left ({', '.join(told)})"


def _runs_from(work: ThreadWork, number: int, found: Found | None) -> RunList:
    """The runs of the row of a stitch, from its run on; none where no square is left."""
    area = Area(0, 0, 0, 0)
    if found is not None and found.family in FAMILIES[:2]:
        column = found.column
        row = work.squares_left(Area(0, found.row, work.chart.columns, 1), number)[0]
        while column and row[column - 1]:
            column -= 1
        area = Area(column, found.row, work.chart.columns - column, 1)
    return runs_left(work, area, (number,), Going.ON)


def _run_members(runs: RunList, at: int) -> dict[str, Any]:
    run = runs[at]
    return {
        "column": run.column + 1,
        "row": run.row + 1,
        "length": run.length,
        "skip": run.skip,
        "part_stitch": None if run.shape is None else run.shape.name.lower().replace("_", "-"),
    }
