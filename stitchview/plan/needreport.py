"""What is to be said of the need of thread: lines to read, members for programs, a table to print."""

from collections.abc import Iterator, Sequence
from typing import Any

from stitchview.chart.plaintables import cell, guarded, row_text
from stitchview.chart.problems import counted
from stitchview.done.usedkey import several
from stitchview.plan.interval import Interval
from stitchview.plan.need import Amount, Need, ThreadNeed
from stitchview.plan.runout import RunOut
from stitchview.plan.stashwords import called, need_words

HONEST = (
    "From … to … holds the truth eight times in ten;"
    " what you note of skeins that were used up makes it narrower."
)
HEADINGS = (
    *("name", "number", "kind", "symbols", "stitches", "done", "left"),
    *("needle m low", "needle m likely", "needle m high"),
    *("left needle m low", "left needle m likely", "left needle m high"),
    *("skeins low", "skeins likely", "skeins high"),
    *("left skeins low", "left skeins likely", "left skeins high"),
    *("skein m", "skein strands", "buy", "buy for what is left"),
)


def lines_of(need: Need, symbols: dict[int, str]) -> list[str]:
    """A line for each thread, and what to buy in all; `symbols` are those of the key, by number from 1."""
    lines = [f"{thread_label(each, symbols)}: {thread_words(each)}" for each in need.threads]
    if not lines:
        return ["The key has no threads."]
    return [*lines, total_words(need), HONEST]


def thread_label(need: ThreadNeed, symbols: dict[int, str]) -> str:
    """The symbols of a thread and what it is called."""
    told = " ".join(symbols[number] for number in need.thread.numbers)
    instead = f" (instead of {several(need.thread.instead_of)})" if need.thread.instead_of else ""
    return f"{told} {called(need.thread)}{instead}".strip()


def thread_words(need: ThreadNeed) -> str:
    """One sentence on a thread."""
    every, left = need.all, need.left
    if need.is_bead:
        return f"{counted(every.beads, 'bead')}, {left.beads:,} left to sew on."
    if not every.stitches:
        return "nothing of it is on the chart."
    told = f"{every.stitches:,} stitch{'' if every.stitches == 1 else 'es'}, {metres_words(every)}"
    buy = f"have {counted(need.buy, 'skein')} for all of it"
    if left.stitches == every.stitches:
        return f"{told}, {need_words(every.skeins)}; {buy}."
    if not left.stitches:
        return f"{told}, {need_words(every.skeins)}; all of it is done."
    rest = f"left {left.stitches:,}, {metres_words(left)}, {need_words(left.skeins)}"
    return f"{told}, {need_words(every.skeins)}; {rest}: have {counted(need.buy_left, 'skein')}."


def metres_words(amount: Amount) -> str:
    """Thread in the needle as a span: "3.1 to 4.0 m"."""
    return f"{metres(amount.needle_m.low)} to {metres(amount.needle_m.high)} m"


def metres(length: float) -> str:
    """A length in metres, closer where it is short."""
    return f"{length:.2f}" if length < 1 else f"{length:.1f}" if length < 100 else f"{length:,.0f}"


def total_words(need: Need) -> str:
    """What to buy in all."""
    threads = sum(not each.is_bead and bool(each.all.stitches) for each in need.threads)
    left = sum(each.buy_left for each in need.threads if not each.is_bead)
    return (
        f"In all: {counted(need.skeins_to_buy, 'skein')} of {counted(threads, 'thread')}"
        f" for the whole chart, {left:,} for what is left."
    )


def members_of(need: Need, short: Sequence[RunOut] = ()) -> dict[str, Any]:
    """The need as one JSON object, with the threads that run `short`; metres and skeins are not rounded."""
    return {
        "square_mm": {"across": need.pitch.across_mm, "down": need.pitch.down_mm},
        "working": need.manner.working.value,
        "strands": need.manner.strands,
        "threads": [_thread_members(each) for each in need.threads],
        "skeins_to_buy": need.skeins_to_buy,
        "run_short": [
            {
                "name": each.need.name,
                "number": each.need.number,
                "uncovered": _span(each.uncovered),
                "left_skeins": _span(each.left_skeins),
                "buy": each.buy,
                "lot": each.lot,
                "sure": each.sure,
            }
            for each in short
        ],
    }


def csv_rows(need: Need, symbols: dict[int, str]) -> Iterator[str]:
    """The need as rows of CSV (RFC 4180), headings first."""
    yield row_text(cell(heading) for heading in HEADINGS)
    for each in need.threads:
        told = " ".join(symbols[number] for number in each.thread.numbers)
        texts = (each.name, each.number, each.thread.kind, told)
        yield row_text(cell(text) for text in (*map(guarded, texts), *_numbers(each)))


def _numbers(need: ThreadNeed) -> Iterator[str]:
    yield from (str(amount.stitches) for amount in (need.all, need.done, need.left))
    spans = (need.all.needle_m, need.left.needle_m, need.all.skeins, need.left.skeins)
    yield from (f"{value:.3f}" for span in spans for value in (span.low, span.likely, span.high))
    yield f"{need.skein.length_m:g}"
    yield str(need.skein.strands)
    yield str(need.buy)
    yield str(need.buy_left)


def _thread_members(need: ThreadNeed) -> dict[str, Any]:
    return {
        "name": need.name,
        "number": need.number,
        "kind": need.thread.kind,
        "key": list(need.thread.numbers),
        "instead_of": list(need.thread.instead_of),
        "skein": {"length_m": need.skein.length_m, "strands": need.skein.strands},
        "factor": need.usage.factor,
        "margin": need.margin,
        "all": _amount_members(need.all),
        "done": _amount_members(need.done),
        "left": _amount_members(need.left),
        "buy": need.buy,
        "buy_left": need.buy_left,
    }


def _amount_members(amount: Amount) -> dict[str, Any]:
    return {
        "stitches": amount.stitches,
        "beads": amount.beads,
        "needle_m": _span(amount.needle_m),
        "strand_m": _span(amount.strand_m),
        "skeins": _span(amount.skeins),
        "reckoned_strand_mm": amount.reckoned_mm,
    }


def _span(span: Interval) -> dict[str, float]:
    return {"low": span.low, "likely": span.likely, "high": span.high}
