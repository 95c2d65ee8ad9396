"""A chart's stitches and what is done of them, told to people in lines and to programs in members."""

from collections.abc import Iterator, Sequence
from typing import Any

from stitchview.chart.counting import Facts, facts
from stitchview.chart.model import Chart
from stitchview.done.counts import Progress, Tally
from stitchview.done.usedkey import instead_words


def members_of(chart: Chart, tally: Tally, notices: Sequence[str] = ()) -> dict[str, Any]:
    """Everything counted, as a JSON object: the chart's size, its stitches by kind, and each thread."""
    counted = facts(chart)
    total = tally.total()
    return {
        "title": chart.title,
        "identity": chart.identity,
        "columns": counted.columns,
        "rows": counted.rows,
        "squares": counted.squares,
        "sheets": len(chart.sheets),
        "stitches": {name: number for name, _, number in _kinds(counted)},
        "back_stitch_squares": round(float(counted.back_length.sum()), 2),
        "done": {
            "stitches": total.stitches,
            "done": total.done,
            "left": total.left,
            **_state_members(total),
            "percent": total.percent,
        },
        "key": [_entry_members(chart, counted, tally, at) for at in range(len(chart.key))],
        "notices": list(notices),
    }


def lines_of(chart: Chart, tally: Tally) -> Iterator[str]:
    """The same as lines to read, the threads as a table."""
    counted = facts(chart)
    total = tally.total()
    yield chart.title or "(without a title)"
    yield f"{counted.columns:,} x {counted.rows:,} squares, {_threads(len(chart.key))} in the key"
    yield ""
    for _, words, number in _kinds(counted):
        yield f"{number:>12,}  {words}"
    yield f"{total.stitches:>12,}  in all; {total.done:,} done, {total.left:,} left ({total.share})"
    if others := others_words(total):
        yield f"{'':>12}  of those left: {others}"
    yield ""
    yield f"{'all':>12}  {'done':>12}  {'left':>12}  thread"
    for number, entry in enumerate(chart.key, 1):
        mine = tally.of_key(number)
        sign = entry.symbol.text or entry.code
        others = f" ({told})" if (told := others_words(mine)) else ""
        instead = f", {told}" if (told := instead_words(entry)) else ""
        name = f"{entry.name or entry.number}{instead}"
        yield f"{mine.stitches:>12,}  {mine.done:>12,}  {mine.left:>12,}  {sign} {name}{others}"


def others_words(progress: Progress) -> str:
    """What is neither done nor plainly open, in words: "3 first legs, 12 for later, 1 mistake"."""
    counts = (
        (progress.first_legs, "first leg", "first legs"),
        (progress.later, "for later", "for later"),
        (progress.mistakes, "mistake", "mistakes"),
    )
    return ", ".join(f"{count:,} {one if count == 1 else more}" for count, one, more in counts if count)


def _state_members(progress: Progress) -> dict[str, Any]:
    told = {"first_legs": progress.first_legs, "later": progress.later, "mistakes": progress.mistakes}
    return {**told, "to_go": progress.to_go}


def _threads(number: int) -> str:
    return f"{number:,} thread{'' if number == 1 else 's'}"


def _entry_members(chart: Chart, counted: Facts, tally: Tally, at: int) -> dict[str, Any]:
    entry, progress = chart.key[at], tally.of_key(at + 1)
    told = {"code": entry.code, "symbol": entry.symbol.text, "name": entry.name, "number": entry.number}
    told |= {"kind": entry.kind, "colour": entry.colour.hex, "used_instead": instead_words(entry)}
    return {
        **told,
        "held_back": entry.held_back,
        "stitches": {name: int(getattr(counted, name)[at]) for name, _, _ in _kinds(counted)},
        "all": progress.stitches,
        "done": progress.done,
        "left": progress.left,
        **_state_members(progress),
    }


def _kinds(counted: Facts) -> tuple[tuple[str, str, int], ...]:
    """Each kind of stitch: its name in `Facts`, its words, and how many there are."""
    words = {
        "crosses": "full crosses",
        "halves": "half stitches",
        "quarters": "quarter stitches",
        "three_quarters": "three-quarter stitches",
        "back_lines": "back stitch lines",
        "straight_lines": "straight stitches",
        "knots": "French knots",
        "beads": "beads",
    }
    return tuple((name, told, int(getattr(counted, name).sum())) for name, told in words.items())
