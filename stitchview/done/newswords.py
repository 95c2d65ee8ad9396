"""What is new, in words that she can read out to her friends."""

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from stitchview.chart.model import Chart
from stitchview.done.counts import Progress, percent
from stitchview.done.gains import Gains
from stitchview.done.sittings import Sitting, day_words

MOST_THREADS = 3


def new_words(
    chart: Chart, since: datetime | None, gains: Gains, sittings: Sequence[Sitting], now: Progress
) -> list[str]:
    """Sentences about what came since a moment (None for the very beginning), and how far the piece is."""
    when = "So far" if since is None else f"Since {day_words(since)}"
    if not sittings or not (gains.came.count or gains.went.count):
        return [f"{when} nothing is new.", _far(now)]
    told = [f"{when}: {gains.came.count:,} {_s('stitch', gains.came.count)} in {_time(sittings)}."]
    if gains.went.count:
        told.append(f"{gains.went.count:,} {_s('stitch', gains.went.count)} unpicked.")
    told += _threads(chart, gains)
    before = Progress(now.stitches, now.done - gains.stitches)
    grew = f", {_share(before)} % before" if since is not None else ""
    return [*told, _far(now)[:-1] + f"{grew}."]


def hours_words(minutes: float) -> str:
    """A time at work, to the minute."""
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest} min" if hours else f"{rest} min"


def _time(sittings: Sequence[Sitting]) -> str:
    minutes = sum(each.minutes for each in sittings)
    return f"{len(sittings):,} {_s('sitting', len(sittings))}, {hours_words(minutes)} at work"


def _threads(chart: Chart, gains: Gains) -> list[str]:
    by_thread = gains.by_thread.sum(axis=1)
    most = [
        int(number)
        for number in np.argsort(-by_thread, kind="stable")[:MOST_THREADS]
        if by_thread[number] > 0
    ]
    if not most:
        return []
    named = [
        f"{chart.key[number - 1].name or chart.key[number - 1].code} ({by_thread[number]:,})"
        for number in most
    ]
    return [
        f"Most of {named[0]}." if len(named) == 1 else f"Most of {', '.join(named[:-1])} and {named[-1]}."
    ]


def _far(now: Progress) -> str:
    return f"{_share(now)} % of the piece is done, {now.left:,} {_s('stitch', now.left)} to go."


def _share(progress: Progress) -> str:
    return f"{percent(progress.done, progress.stitches, 1):g}"


def _s(noun: str, count: int) -> str:
    if count == 1:
        return noun
    return f"{noun}es" if noun.endswith("ch") else f"{noun}s"
