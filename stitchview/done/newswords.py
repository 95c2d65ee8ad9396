"""What is new, in words that she can read out to her friends."""

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from stitchview.chart.model import Chart
from stitchview.done.counts import Progress, in_halves
from stitchview.done.gains import Gains
from stitchview.done.newareas import by_block, by_sheet
from stitchview.done.sittings import Sitting, day_words

MOST_THREADS = 3


def new_words(
    chart: Chart, since: datetime | None, gains: Gains, sittings: Sequence[Sitting], now: Progress
) -> list[str]:
    """Sentences about what came since a moment (None for the very beginning), and how far the piece is."""
    when = "So far" if since is None else f"Since {day_words(since)}"
    if not (gains.came.count or gains.went.count or gains.first_legs):
        return [f"{when} nothing is new.", _far(now)]
    told = [f"{when}: {_came(gains)} in {_time(sittings)}."]
    if unpicked := gains.went.count - gains.found_wrong:
        told.append(f"{unpicked:,} {_s('stitch', unpicked)} unpicked.")
    if gains.found_wrong:
        told.append(f"{gains.found_wrong:,} {_s('stitch', gains.found_wrong)} found wrong.")
    told += _threads(chart, gains)
    told += _places(chart, gains)
    before = Progress(now.stitches, now.done - gains.crosses, now.first_legs - gains.first_legs)
    grew = f", {before.share} before" if since is not None else ""
    return [*told, _far(now)[:-1] + f"{grew}."]


def _came(gains: Gains) -> str:
    stitches = f"{gains.came.count:,} {_s('stitch', gains.came.count)}"
    if gains.first_legs > 0:
        legs = f"{gains.first_legs:,} {_s('first leg', gains.first_legs)}"
        return f"{stitches} and {legs}" if gains.came.count else legs
    return stitches


def hours_words(minutes: float) -> str:
    """A time at work, to the minute."""
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest} min" if hours else f"{rest} min"


def _time(sittings: Sequence[Sitting]) -> str:
    if not sittings:
        return "no sitting"
    minutes = sum(each.minutes for each in sittings)
    return f"{len(sittings):,} {_s('sitting', len(sittings))}, {hours_words(minutes)} at work"


def _threads(chart: Chart, gains: Gains) -> list[str]:
    by_thread = gains.by_thread.sum(axis=1) + gains.legs_by_thread / 2
    most = [
        int(number)
        for number in np.argsort(-by_thread, kind="stable")[:MOST_THREADS]
        if by_thread[number] > 0
    ]
    if not most:
        return []
    named = [
        f"{chart.key[number - 1].name or chart.key[number - 1].code} ({in_halves(by_thread[number])})"
        for number in most
    ]
    return [f"Most of {_joined(named)}."]


def _places(chart: Chart, gains: Gains) -> list[str]:
    """Where most of what came lies: on which sheets, or in which block of ten, counted from 1."""
    if not gains.came.count:
        return []
    sheets = sorted(by_sheet(chart, gains.came), key=lambda each: -each.stitches)[:MOST_THREADS]
    if len(chart.sheets) > 1 and sheets:
        return [f"On {_joined([f'{each.name} ({each.stitches:,})' for each in sheets])}."]
    blocks = by_block(chart, gains.came)
    if len(blocks) < 2:
        return []
    most = blocks[0]
    corner = f"column {most.area.column + 1:,}, row {most.area.row + 1:,}"
    return [f"In {len(blocks):,} blocks of ten, most in the one from {corner} on ({most.stitches:,})."]


def _far(now: Progress) -> str:
    return f"{now.share} of the piece is done, {in_halves(now.to_go)} {_s('stitch', now.to_go)} to go."


def _joined(named: list[str]) -> str:
    """Names as one says them: "A", "A and B", "A, B and C"."""
    return " and ".join([", ".join(named[:-1]), named[-1]] if len(named) > 1 else named)


def _s(noun: str, count: float) -> str:
    if 0 < count <= 1:
        return noun
    return f"{noun}es" if noun.endswith("ch") else f"{noun}s"
