"""How the piece looked at earlier times: the states that the strokes up to then had led to."""

from collections.abc import Iterable, Iterator, Sequence

from stitchview.chart.model import Chart
from stitchview.done.addresses import Addresses
from stitchview.done.marks import open_states
from stitchview.done.strokes import StrokeRow
from stitchview.done.timeline import Arrays, Replay, Timeline


def states_after(chart: Chart, rows: Sequence[StrokeRow], ends: Iterable[bytes]) -> Iterator[Arrays]:
    """The states of `chart` after each of the strokes `ends` (ids in rising order), as fresh arrays.

    `rows` are all strokes in the order of their ids. What had been undone by then does not count; what
    was undone later does. A stroke before the first gives the open chart. O(strokes) for all ends
    together, unless strokes of one sitting were undone in a later one. Raises `MalformedStroke`.
    """
    addresses, timeline, found = Addresses(chart), Timeline(), dict[bytes, StrokeRow]()
    states, replayed, at = open_states(chart), list[bytes](), 0
    for end in ends:
        while at < len(rows) and rows[at].id <= end:
            timeline.take(rows[at])
            found[rows[at].id] = rows[at]
            at += 1
        live = timeline.live
        if live[: len(replayed)] != replayed:
            states, replayed = open_states(chart), []
        replay = Replay(chart, addresses, states)
        for each in live[len(replayed) :]:
            replay.add(found[each])
        states, replayed = replay.finish(), list(live)
        squares, parts, lines, points = (each.copy() for each in states)
        yield squares, parts, lines, points
