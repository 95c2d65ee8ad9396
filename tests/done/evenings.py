"""What hands do in the tests of whole evenings, and the plain sets that tell what must come of it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.model import THREAD_KINDS, Chart, KeyEntry, Symbol
from stitchview.chart.stitches import Lines, Parts, Points
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN, Selection
from stitchview.done.differences import Added, Difference, NotWorked, OtherThread, Shifted
from stitchview.done.finishnotes import RESULTS, Finished, ThreadTest, ThreadUsed
from stitchview.done.leftout import SORTS, LeftOut
from stitchview.done.notes import HeldBack, NeedlefulEnd, Note, Parked, Pin
from stitchview.done.sittingnotes import ClothPhoto, SittingSeam, SittingWord, TimePin
from stitchview.done.skeinnotes import EVENTS, LotArea, LotTime, SkeinNote, SkeinSize
from stitchview.done.unpicked import Unpicked
from stitchview.done.usedinstead import OwnThread, UsedInstead

COLUMNS, ROWS, THREADS = 9, 7, 3
STEPS = st.integers(0, 2)
AREAS = st.builds(
    Area, st.integers(0, COLUMNS), st.integers(0, ROWS), st.integers(1, COLUMNS), st.integers(1, ROWS)
)

# What a hand does: an area, the thread in hand or all of them, and the state it marks as.
Hand = tuple[Area, int | None, int]
HANDS: st.SearchStrategy[Hand] = st.tuples(
    AREAS, st.sampled_from([None, 1, 2, 3]), st.sampled_from([DONE, DONE, OPEN, FIRST_LEG, LATER, MISTAKE])
)

# A stitch in the plain model: its family and its address, which no sheet and no correction changes.
Stitch = tuple[object, ...]
Subject = tuple[object, ...]

# What a hand notes: a note put in (or in the place of one of its subject), or taken off. Squares are
# addresses here; few of them and few subjects, so that notes are often written over.
SPOTS = st.integers(-3, 3)
AREAS_LONG = st.integers(1, 5)
LENGTHS = st.sampled_from([0.0, 1 / 3, 370.0])
HEX_IDS = st.sampled_from(["0" * 32, "0a" * 16])
NOTES: st.SearchStrategy[Note] = st.one_of(
    st.builds(Pin, st.sampled_from(["p", "q"]), SPOTS, SPOTS, st.text(max_size=3), st.just("at the mast")),
    st.builds(Parked, st.sampled_from(["a", "b", "lost"]), SPOTS, SPOTS),
    st.builds(HeldBack, st.sampled_from(["a", "b"]), st.booleans()),
    st.builds(
        NeedlefulEnd,
        st.just("n"),
        st.just("c"),
        st.integers(0, 9),
        SPOTS,
        SPOTS,
        st.booleans(),
        LENGTHS,
        LENGTHS,
    ),
    st.builds(
        SkeinNote,
        st.sampled_from(["s", "t"]),
        st.just("Sample silk 4"),
        st.text(max_size=3),
        st.sampled_from(EVENTS),
        st.sampled_from([0.0, 1 / 3, 2.0]),
        st.text(max_size=3),
        LENGTHS,
        st.integers(0, 1 << 45),
    ),
    st.builds(
        LeftOut, st.sampled_from(SORTS), st.sampled_from(["a", "lost"]), SPOTS, SPOTS, AREAS_LONG, AREAS_LONG
    ),
    st.builds(SkeinSize, st.just("Sample silk 4"), st.just("4"), st.sampled_from([5.0, 8.0])),
    st.builds(
        LotArea,
        st.just("a"),
        st.just("x"),
        st.just("4"),
        st.text(max_size=3),
        SPOTS,
        SPOTS,
        AREAS_LONG,
        AREAS_LONG,
    ),
    st.builds(
        LotTime,
        st.just("a"),
        st.just("x"),
        st.just("4"),
        st.just("B"),
        st.integers(0, 5),
        st.integers(5, 1 << 45),
    ),
    st.builds(SittingSeam, HEX_IDS, st.booleans()),
    st.builds(SittingWord, HEX_IDS, st.sampled_from([None, 0.0, 12.5]), st.booleans(), st.text(max_size=3)),
    st.builds(
        ClothPhoto,
        st.sampled_from(["f", "g"]),
        HEX_IDS,
        st.just("2026-11-25 ab.jpg"),
        st.just("ab" * 32),
        st.integers(1, 9),
    ),
    st.builds(Finished, st.sampled_from(["2026-11-25", "2026-12-01"]), st.just(362.5), st.just(541.0)),
    st.builds(ThreadUsed, st.just("x"), st.just("4"), st.sampled_from([0.5, 2.0]), LENGTHS),
    st.builds(
        ThreadTest, st.just("x"), st.sampled_from(["4", "5"]), st.sampled_from(RESULTS), st.text(max_size=3)
    ),
    st.builds(
        UsedInstead,
        st.sampled_from(["Sample silk 4", "x"]),
        st.just("4"),
        st.text(min_size=1, max_size=3),
        st.just("18"),
        st.sampled_from(THREAD_KINDS),
        st.builds(Colour, *[st.integers(0, 255)] * 3),
        st.text(max_size=3),
        st.just("Sample"),
        LENGTHS,
        st.integers(0, 1 << 45),
    ),
    st.builds(
        OwnThread,
        st.sampled_from(["o1", "o2"]),
        st.text(min_size=1, max_size=3),
        st.just("18"),
        st.sampled_from(THREAD_KINDS),
        st.builds(Colour, *[st.integers(0, 255)] * 3),
        st.text(max_size=3),
        st.just("Sample"),
        LENGTHS,
        st.integers(0, 1 << 45),
    ),
    st.builds(Unpicked, st.just("u"), st.just("x"), st.just("4"), SPOTS, SPOTS, *[AREAS_LONG] * 3, LENGTHS),
    st.builds(TimePin, st.just("t"), st.text(max_size=3), st.integers(1, 1 << 45)),
)
# What differs on the cloth stands apart: it moves stitches, of which the plain model here knows nothing.
DIFFERENCES: st.SearchStrategy[Difference] = st.one_of(
    st.builds(Shifted, st.just("s"), SPOTS, SPOTS, AREAS_LONG, AREAS_LONG, st.integers(1, 3), SPOTS),
    st.builds(
        OtherThread,
        *(st.just("o"), SPOTS, SPOTS, AREAS_LONG, AREAS_LONG),
        *(st.sampled_from(["", *SORTS]), st.sampled_from(["", "a"]), st.just("b")),
    ),
    st.builds(
        NotWorked,
        *(st.just("n"), SPOTS, SPOTS, AREAS_LONG, AREAS_LONG),
        *(st.sampled_from(["", *SORTS]), st.sampled_from(["", "a"])),
    ),
    st.builds(Added, st.just("a"), SPOTS, SPOTS, AREAS_LONG, AREAS_LONG, st.just("b")),
)
Jotting = tuple[Note, bool]
JOTTINGS: st.SearchStrategy[Jotting] = st.tuples(NOTES, st.sampled_from([True, True, False]))


@dataclass(frozen=True)
class Stroke:
    """What one stroke does in the model: stitches that go to a state, and notes put in or taken off."""

    stitches: frozenset[Stitch]
    state: int
    notes: tuple[tuple[Subject, Note | None], ...]


def first_chart(seed: int) -> Chart:
    random = np.random.default_rng(seed)
    squares = random.integers(0, THREADS + 1, (ROWS, COLUMNS), np.uint16)
    spots = random.integers(0, 14, (6, 4)).astype(np.int32)
    spots[:, 2:] = spots[:, :2] + random.integers(0, 3, (6, 2))
    spots = np.unique(spots, axis=0)
    keys = random.integers(1, THREADS + 1, len(spots)).astype(np.uint16)
    small = np.ones(len(spots), np.uint8)
    x1, y1, x2, y2 = (np.ascontiguousarray(each) for each in spots.T)
    corners = np.unique(spots[:, :2], axis=0)
    x, y = (np.ascontiguousarray(each) for each in corners.T)
    return Chart(
        squares,
        tuple(KeyEntry(code, Symbol(code), code) for code in "abc"),
        identity="evenings",
        parts=Parts(x // 2, y // 2, np.arange(1, len(x) + 1).astype(np.uint8), keys[: len(x)]),
        lines=Lines(x1, y1, x2, y2, small, keys),
        points=Points(x, y, small[: len(x)], keys[: len(x)]),
    )


def stitches(chart: Chart, selection: Selection) -> list[Stitch]:
    """The stitches selected, named by their addresses, as a plain loop finds them."""
    column, row = chart.origin
    parts, lines, points = chart.parts, chart.lines, chart.points
    named: list[Stitch] = []
    for flat in selection.squares.tolist():
        named.append(("square", flat % chart.columns + column, flat // chart.columns + row))
    for at in selection.parts.tolist():
        named.append(("part", parts.columns[at] + column, parts.rows[at] + row, int(parts.shapes[at])))
    for at in selection.lines.tolist():
        ends = sorted([(lines.x1[at], lines.y1[at]), (lines.x2[at], lines.y2[at])])
        named.append(("line", *((x + 2 * column, y + 2 * row) for x, y in ends)))
    for at in selection.points.tolist():
        named.append(("point", points.x[at] + 2 * column, points.y[at] + 2 * row))
    return named


def everything(chart: Chart) -> Selection:
    return Selection(
        np.flatnonzero(chart.squares.ravel()),
        np.arange(len(chart.parts)),
        np.arange(len(chart.lines)),
        np.arange(len(chart.points)),
    )


def on_cloth(strokes: Iterable[Stroke]) -> dict[Stitch, int]:
    """The states by the model, but for what is open: the last word of the strokes that hold."""
    states: dict[Stitch, int] = {}
    for stroke in strokes:
        states |= dict.fromkeys(stroke.stitches, stroke.state)
    return {stitch: state for stitch, state in states.items() if state != OPEN}


def is_altered(stitch: Stitch, was: int, state: int) -> bool:
    """Whether a hand that marks as `state` alters a stitch, told case by case."""
    match state:
        case int(each) if each == FIRST_LEG:
            return stitch[0] == "square" and was not in (DONE, FIRST_LEG)
        case int(each) if each == LATER:
            return was == OPEN
    return was != state


def on_paper(strokes: Iterable[Stroke]) -> dict[Subject, Note]:
    """What is noted by the model, squares as addresses: the last word of the strokes that hold."""
    noted: dict[Subject, Note | None] = {}
    for stroke in strokes:
        noted |= dict(stroke.notes)
    return {subject: note for subject, note in noted.items() if note is not None}


def addressed(chart: Chart, note: Note) -> Note:
    """A note of the chart with its squares told by address."""
    return _moved(note, *chart.origin)


def placed(chart: Chart, note: Note) -> Note:
    """A note whose squares are told by address, as the chart in memory tells them."""
    return _moved(note, -chart.origin[0], -chart.origin[1])


def subject_of(chart: Chart, note: Note) -> Subject:
    """What tells a note of the chart from others, whatever the chart's origin."""
    return type(note), *addressed(chart, note).subject


def _moved(note: Note, columns: int, rows: int) -> Note:
    if isinstance(note, Pin | Parked | NeedlefulEnd | LotArea | LeftOut | Unpicked):
        return replace(note, column=note.column + columns, row=note.row + rows)
    return note
