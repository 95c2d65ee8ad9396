"""The need of threads against the published worked values (checks.md, 2.2 to 2.4) and sums of our own."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.model import Chart, KeyEntry, Symbol, Thread
from stitchview.chart.threadname import identity_of
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, Change
from stitchview.done.marks import Marks, change_to, open_states
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.length import Working
from stitchview.plan.manner import Manner
from stitchview.plan.need import Need, Supply, need
from stitchview.plan.skeins import Skein, skeins_by_weight, skeins_to_buy

INCH = 25.4
FOURTEEN = Pitch(INCH / 14, INCH / 14)
ROOT = math.sqrt(2)


def entry(code: str, strands: int = 2, blend: tuple[Thread, ...] = ()) -> KeyEntry:
    return KeyEntry(code, Symbol(code), f"Sample cotton {code}", code, cross_strands=strands, blend=blend)


def block(columns: int, rows: int, *key: KeyEntry) -> Chart:
    return Chart(np.ones((rows, columns), np.uint16), key or (entry("a"),))


@pytest.mark.parametrize(("columns", "rows"), [(1, 1), (10, 1), (10, 10), (100, 100)])
@pytest.mark.parametrize("working", Working)
def test_a_full_block(columns: int, rows: int, working: Working) -> None:
    """A block takes front and back by the closed forms of checks.md, 2.2, and its tails by 2.4."""
    if working is Working.ROWS:
        back = rows * (2.0 * columns - 1) + 2 * (rows - 1)
    else:
        back = rows * (columns + (columns - 1) * ROOT) + 2 * (rows - 1)
    stitched = (2 * ROOT * columns * rows + back) * INCH / 14
    amount = need(block(columns, rows), cloth=FOURTEEN, habits=Manner(working)).threads[0].all
    expected = max(stitched + 80, stitched * 450 / 370)
    assert amount.reckoned_mm == pytest.approx(2 * expected, rel=1e-9)
    assert amount.stitches == columns * rows
    assert amount.starts == pytest.approx(max(1, stitched / 370))


def test_isolated_stitches() -> None:
    """100 stitches far from one another take 8.69 m of thread in the needle (checks.md, 2.4)."""
    squares = np.zeros((200, 200), np.uint16)
    squares[10::20, 10::20] = 1
    amount = need(Chart(squares, (entry("a"),)), cloth=FOURTEEN).threads[0].all
    assert amount.reckoned_mm / 2 == pytest.approx(8694.59, abs=0.05)
    assert amount.carried_mm == 0


def test_carries_are_taken_from_the_chart() -> None:
    """Two blocks 3 squares apart cost one carry of 3 squares and its detour; farther off, two more tails."""
    squares = np.zeros((8, 30), np.uint16)
    squares[2:5, 2:5] = squares[2:5, 8:12] = 1
    chart = Chart(squares, (entry("a"),))
    straight = Manner(detour=1.0)
    near = need(chart, cloth=FOURTEEN, habits=straight).threads[0].all
    rows_mm = 4 * 2 * FOURTEEN.down_mm
    assert near.carried_mm == pytest.approx(rows_mm + 3 * FOURTEEN.across_mm)
    assert near.starts == 1
    longer = need(chart, cloth=FOURTEEN, habits=Manner(detour=1.5)).threads[0].all
    assert longer.carried_mm == pytest.approx(rows_mm + 4.5 * FOURTEEN.across_mm)
    apart = need(chart, cloth=FOURTEEN, habits=replace(straight, carry_mm=5.0)).threads[0].all
    assert apart.carried_mm == pytest.approx(rows_mm)
    assert apart.tails_mm == pytest.approx(160)


@pytest.mark.parametrize(
    ("crosses", "working", "raw", "with_tails", "with_margin"),
    [
        (1_000, Working.ROWS, 1, 1, 1),
        (1_000, Working.AT_ONCE, 1, 1, 1),
        (2_739, Working.ROWS, 1, 2, 2),
        (2_740, Working.ROWS, 2, 2, 2),
        (10_000, Working.ROWS, 4, 5, 5),
        (10_000, Working.AT_ONCE, 4, 5, 6),
    ],
)
def test_what_to_buy(crosses: int, working: Working, raw: int, with_tails: int, with_margin: int) -> None:
    """Whole skeins of 8 m by the table of checks.md, 2.4: bare, with tails, with a tenth more."""
    each = (2 * ROOT + 2 if working is Working.ROWS else 3 * ROOT + 1) * INCH / 14
    strand = crosses * each * 2
    assert skeins_to_buy(strand, Skein()) == raw
    assert skeins_to_buy(strand * 450 / 370, Skein()) == with_tails
    assert skeins_to_buy(strand * 450 / 370, Skein(), 0.10) == with_margin


def test_blends_are_split_over_their_threads() -> None:
    """Of a blend of one strand and two, one thread gets a third; with its own symbol, both are one thread."""
    fog = Thread("Sample silk 9, fog", "9", "silk", strands=2)
    blended = entry("h", 3, (Thread("Sample cotton a", "a", strands=1), fog))
    squares = np.zeros((40, 10), np.uint16)
    squares[:10], squares[20:30] = 1, 2
    both = need(Chart(squares, (entry("a"), blended)), cloth=FOURTEEN)
    cotton, silk = both.threads
    one = need(block(10, 10), cloth=FOURTEEN).threads[0].all.reckoned_mm / 2
    assert cotton.name == "Sample cotton a"
    assert silk.number == "9"
    assert cotton.all.reckoned_mm == pytest.approx(one * (2 + 1))
    assert silk.all.reckoned_mm == pytest.approx(one * 2)
    assert [each.name for each in both.of_entry(2)] == ["Sample cotton a", "Sample silk 9, fog"]
    assert both.of_thread(identity_of(" sample  SILK 9, fog", "9")) == silk


def half_done(chart: Chart, rows: int) -> Marks:
    states = open_states(chart)
    states[0][:rows] = chart.squares[:rows] != 0
    return Marks(chart, states)


def test_done_and_left_make_all() -> None:
    """What is done and what is left are told apart and add up; when all is done nothing is left."""
    chart = block(60, 40)
    sums = need(chart, half_done(chart, 10), FOURTEEN).threads[0]
    assert (sums.done.stitches, sums.left.stitches, sums.all.stitches) == (600, 1800, 2400)
    assert sums.done.reckoned_mm + sums.left.reckoned_mm == pytest.approx(sums.all.reckoned_mm)
    assert sums.done.reckoned_mm == pytest.approx(
        need(block(60, 10), cloth=FOURTEEN).threads[0].all.reckoned_mm
    )
    ready = need(chart, half_done(chart, 40), FOURTEEN).threads[0]
    assert ready.left.reckoned_mm == ready.left.skeins.high == ready.buy_left == 0
    assert DONE == 1


def test_a_first_leg_has_taken_half_its_thread() -> None:
    """A block of first legs: half of its thread is used, half is to come, and all of it counts as left."""
    chart = block(60, 10)
    marks = Marks(chart)
    marks.apply(change_to(marks, rectangle(chart, chart.area, Takes()), FIRST_LEG) or Change(chart.area))
    whole, legs = (need(chart, each, FOURTEEN).threads[0] for each in (None, marks))
    assert legs.done.reckoned_mm == pytest.approx(whole.all.reckoned_mm / 2)
    assert legs.left.reckoned_mm == pytest.approx(whole.all.reckoned_mm / 2)
    assert legs.all.reckoned_mm == pytest.approx(whole.all.reckoned_mm)
    assert (legs.done.stitches, legs.left.stitches, legs.all.stitches) == (0, 600, 600)


@pytest.mark.parametrize("state", [LATER, MISTAKE])
def test_what_waits_or_is_wrong_is_still_to_be_stitched(state: int) -> None:
    """Later and mistakes need their thread as if nothing were there."""
    chart = block(60, 10)
    marks = Marks(chart)
    marks.apply(change_to(marks, rectangle(chart, chart.area, Takes()), state) or Change(chart.area))
    whole, waits = (need(chart, each, FOURTEEN).threads[0] for each in (None, marks))
    assert waits.left.reckoned_mm == pytest.approx(whole.all.reckoned_mm)
    assert waits.done.reckoned_mm == 0


def test_an_interval_and_not_a_point() -> None:
    """The need lies between low and high, and one buys for the high end."""
    sums = need(block(100, 100), cloth=FOURTEEN).threads[0]
    skeins = sums.all.skeins
    assert skeins.low < skeins.likely < skeins.high
    assert sums.buy == math.ceil(skeins.high)
    assert sums.all.strand_m.likely == pytest.approx(2 * sums.all.needle_m.likely)


def test_skeins_of_other_lengths() -> None:
    """A silk of 5 m in twelve strands, said for its kind or for the thread, is reckoned as such."""
    supply = Supply(kinds={"stranded cotton": Skein(5.0, 12)})
    by_kind = need(block(90, 90), cloth=FOURTEEN, supply=supply).threads[0]
    usual = need(block(90, 90), cloth=FOURTEEN).threads[0]
    assert by_kind.all.skeins.likely == pytest.approx(usual.all.skeins.likely * 48 / 60)
    own = replace(supply, skeins={usual.thread.identity: Skein(10.0, 6)})
    assert need(block(90, 90), cloth=FOURTEEN, supply=own).threads[0].skein.length_m == 10


def test_uneven_cloth() -> None:
    """On 14 across and 13 down 10 x 10 in rows take 939.6597 mm before tails (checks.md, 2.2)."""
    sums = need(block(10, 10), cloth=Pitch(INCH / 14, INCH / 13)).threads[0]
    assert sums.all.reckoned_mm / 2 == pytest.approx(939.6597 * 450 / 370, abs=1e-3)


def test_every_kind_of_stitch_counts(small_chart: Callable[[], Chart]) -> None:
    """Part stitches, lines, knots and beads all take thread, and taking one family away takes less."""
    chart = small_chart()
    whole = total(need(chart))
    for name in ("parts", "lines", "points"):
        family = getattr(chart, name)
        less = total(need(replace(chart, **{name: type(family)()})))
        assert less < whole


def total(sums: Need) -> float:
    return sum(each.all.reckoned_mm for each in sums.threads)


@pytest.mark.parametrize(
    "manner",
    [
        {"strands": 0},
        {"strands": -2},
        {"strands": 900},
        {"length_mm": 60.0},
        {"carry_mm": -1.0},
        {"detour": 0.5},
    ],
)
def test_ways_of_working_that_cannot_be(manner: dict[str, float]) -> None:
    """No strands, a working length that is all tail, a carry below nothing: one sentence each."""
    with pytest.raises(CommandError) as told:
        Manner(**manner)  # type: ignore[arg-type]
    assert told.value.remedy


@pytest.mark.parametrize("mm", [1e-9, 0.01, 5e4])
def test_counts_on_which_nobody_can_stitch(mm: float) -> None:
    """An absurd count is told as such."""
    with pytest.raises(CommandError):
        need(block(3, 3), cloth=Pitch(mm, mm))


@pytest.mark.parametrize("skein", [(0.0, 6), (-8.0, 6), (8.0, 0), (float("nan"), 6), (1e9, 6)])
def test_skeins_that_cannot_be(skein: tuple[float, int]) -> None:
    """A skein of no length, of no strands, or without end is refused."""
    with pytest.raises(CommandError):
        Skein(*skein)


def test_weighed_skeins() -> None:
    """What is left is told by weight where a full skein was weighed, and not below nothing."""
    assert skeins_by_weight(2.0, Skein(grams=8.0)) == 0.25
    with pytest.raises(CommandError):
        skeins_by_weight(2.0, Skein())
    with pytest.raises(CommandError):
        skeins_by_weight(-2.0, Skein(grams=8.0))
