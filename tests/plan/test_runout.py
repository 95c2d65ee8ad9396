"""What is learnt from skeins used up, and the warning before a thread runs short."""

import math
from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.marks import Marks, open_states
from stitchview.done.notebook import Notes
from stitchview.done.notes import NeedlefulEnd
from stitchview.done.skeinnotes import FINISHED, GOT, LEFT, STARTED, SkeinNote, SkeinSize
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import Pitch
from stitchview.plan.interval import Interval
from stitchview.plan.need import Amount, Supply, ThreadNeed, need
from stitchview.plan.runout import RunOut, run_out, run_outs, shopping_words, warning_words
from stitchview.plan.skeins import USUAL_SKEIN
from stitchview.plan.usage import USUAL_FACTOR, USUAL_SPREAD, Stretch, Usage, usage_of
from stitchview.plan.usednotes import Holding, holding_of, skein_note, supply_of

PITCH = Pitch(25.4 / 14, 25.4 / 14)
SILK = KeyEntry("s", Symbol("s"), "Sample silk 04", "04", "hand-dyed")
SKEIN_MM = 48_000.0


def field(rows: int, done: int) -> tuple[Chart, Marks]:
    """100 columns of one silk, so many rows of them, the first of them done."""
    chart = Chart(np.ones((rows, 100), np.uint16), (SILK,))
    states = open_states(chart)
    states[0][:done] = 1
    return chart, Marks(chart, states)


def silk_need(rows: int, done: int, supply: Supply | None = None) -> ThreadNeed:
    chart, marks = field(rows, done)
    return need(chart, marks, PITCH, supply=supply).threads[0]


def noted(event: str, skeins: float, reckoned_mm: float, number: int) -> SkeinNote:
    return SkeinNote(f"n{number:02}", "Sample silk 04", "04", event, skeins, "", reckoned_mm, number)


def told(*events: tuple[str, float, float]) -> Notes:
    return Notes.of(noted(*event, number) for number, event in enumerate(events))


def ratios(notes: Notes) -> list[float]:
    chart, _ = field(1, 0)
    return [each.used_mm / each.reckoned_mm for each in supply_of(chart, notes).stretches]


def test_the_published_forecast() -> None:
    """1.5 skeins made 3,100 crosses, 2,000 are left, 0.9 skein too: 140 uncovered (checks.md, 2.5)."""
    each = 100.0
    amount = Amount(Interval(0, 0, 0), Interval(0, 0, 0), Interval(0, 0, 0), 2_000 * each, 0, 0, 1, 2_000, 0)
    known = Usage(72_000 / (3_100 * each), 1e-9, 0.0, 1)
    base = silk_need(1, 0)
    done = replace(amount, reckoned_mm=3_100 * each, stitches=3_100)
    told_of = replace(base, left=amount, done=done, usage=known)
    short = run_out(told_of, Holding(0.9, 3_100 * each))
    assert short.uncovered.likely == pytest.approx(140)
    assert short.buy == 1
    enough = run_out(told_of, Holding(0.967743, 3_100 * each))
    assert not enough.is_short
    assert warning_words(enough) == ""


def test_finished_skeins_tell_her_factor() -> None:
    """Each skein used up is one stretch of work, from the one before it or from the first stitch."""
    assert ratios(told((FINISHED, 1, 40_000), (FINISHED, 1, 90_000))) == pytest.approx([1.2, 0.96])
    assert ratios(told((STARTED, 1, 10_000), (FINISHED, 2, 90_000))) == pytest.approx([1.2])


def test_what_is_left_tells_her_factor() -> None:
    """Bought 3, later 1.4 left: 1.6 skeins were used, wherever the marks stood when she bought them."""
    notes = told((GOT, 3, 1_000), (LEFT, 1.4, 65_000), (FINISHED, 1, 80_000))
    assert ratios(notes) == pytest.approx([1.6 * SKEIN_MM / 64_000, 0.4 * SKEIN_MM / 15_000])
    holding = holding_of(silk_need(9, 0), notes)
    assert holding == Holding(1.0, 80_000)


def test_what_she_has_is_followed() -> None:
    """Bought skeins are added, used up ones taken off; without a word nothing is known."""
    silk = silk_need(9, 0)
    assert holding_of(silk, told()) is None
    assert holding_of(silk, told((STARTED, 1, 0), (FINISHED, 1, 40_000))) is None
    bought = told((GOT, 2, 0), (FINISHED, 1, 40_000), (GOT, 1, 45_000))
    assert holding_of(silk, bought) == Holding(2.0, 40_000)
    assert holding_of(silk, told((GOT, 1, 0), (FINISHED, 3, 40_000))) == Holding(0.0, 40_000)


def test_unpicking_or_a_slip_of_the_pen_says_nothing() -> None:
    """Notes that would mean no thread, or far too much of it, are not learnt from."""
    chart, _ = field(1, 0)
    for notes in (told((FINISHED, 1, 0)), told((FINISHED, 1, 400)), told((GOT, 1, 0), (LEFT, 1, 9_000))):
        supply = supply_of(chart, notes)
        assert usage_of(("sample silk 04", "04"), "hand-dyed", supply.stretches) == Usage()


def test_use_narrows_the_interval() -> None:
    """With every skein used up the interval gets narrower, and goes to what she really uses."""
    thread = ("sample silk 04", "04")
    before = Usage()
    for count in (1, 3, 9):
        stretches = [Stretch(thread, "silk", 40_000, 52_000)] * count
        now = usage_of(thread, "silk", stretches)
        assert now.spread < before.spread
        assert abs(now.factor - 1.3) < abs(before.factor - 1.3)
        before = now
    assert Usage().spread == USUAL_SPREAD
    assert before.factor == pytest.approx(1.3, rel=0.01)


def test_own_use_says_more_than_that_of_its_kind_and_of_others() -> None:
    """A skein of the same thread moves the factor most, of the same kind less, of another kind least."""
    mine = ("sample silk 04", "04")
    used = Stretch(mine, "silk", 40_000, 60_000)
    factors = [
        usage_of(thread, kind, [used] * 3).factor
        for thread, kind in ((mine, "silk"), (("other", "1"), "silk"), (("other", "1"), "wool"))
    ]
    assert factors[0] > factors[1] > factors[2] > USUAL_FACTOR


def test_needlefuls_count_too() -> None:
    """Needlefuls that were used up narrow the interval, though never as far as skeins would."""
    chart, _ = field(1, 0)
    ends = [NeedlefulEnd(f"n{at}", "s", 40, 0, 0, True, 370.0, 400.0) for at in range(200)]
    stretches = supply_of(chart, Notes.of(ends)).stretches
    usage = usage_of(("sample silk 04", "04"), "hand-dyed", stretches)
    assert 0.05 < usage.spread < 0.06
    assert usage.factor == pytest.approx(USUAL_FACTOR * 400 / 370, rel=0.03)


def test_sizes_of_skeins_are_noted() -> None:
    """What she says of a thread's skein goes before what is usual."""
    chart, marks = field(50, 0)
    notes = Notes.of([SkeinSize("Sample silk 04", "04", 5.0, 12, 6.0)])
    sums = need(chart, marks, PITCH, supply=supply_of(chart, notes)).threads[0]
    assert (sums.skein.length_m, sums.skein.strands, sums.skein.grams) == (5.0, 12, 6.0)


def test_the_warning_comes_early_and_in_one_sentence() -> None:
    """Long before the thread is used up she is told about how many squares stay open, and what to buy."""
    silk = silk_need(30, 10)
    half = silk.left.strand_m.low * 1000 * 0.95 / SKEIN_MM
    short = run_out(silk, Holding(half, silk.done.reckoned_mm))
    assert short.sure
    low, high = short.uncovered.low, short.uncovered.high
    assert 0 < low < short.uncovered.likely < high < 2_000
    words = warning_words(short)
    expected = f"about {math.floor(low / 10) * 10} to {math.ceil(high / 10) * 10} squares uncovered"
    assert words == f"Sample silk 04 will run short: {expected}; buy 1 more, before the lot changes."
    some = run_out(silk, Holding(silk.left.strand_m.likely * 1000 / SKEIN_MM, silk.done.reckoned_mm, "B 7"))
    assert warning_words(some).startswith("Sample silk 04 may run short: up to ")
    assert "buy 1 more of lot B 7" in warning_words(some)
    assert run_out(silk, Holding(0.0, silk.done.reckoned_mm)).uncovered.low == silk.left.stitches


def test_the_words_of_the_issue() -> None:
    """Between 63 and 105 squares are told as 60 to 110."""
    short = RunOut(silk_need(1, 0), Interval(63.0, 80.0, 105.0), Interval(0, 0, 0), 1)
    assert warning_words(short) == (
        "Sample silk 04 will run short: about 60 to 110 squares uncovered;"
        " buy 1 more, before the lot changes."
    )


def test_notes_lead_to_warnings() -> None:
    """Bought one skein, 40 of 100 rows done: she is warned; with four skeins she is not."""
    chart, marks = field(100, 40)
    for skeins, warned in ((1.0, True), (9.0, False)):
        empty = need(chart, field(100, 0)[1], PITCH).threads[0]
        notes = Notes.of([skein_note(empty, GOT, skeins, " B  7 ")])
        sums = need(chart, marks, PITCH, supply=supply_of(chart, notes))
        outs = run_outs(sums, notes)
        assert bool(outs) is warned
        assert not warned or "lot B 7" in warning_words(outs[0])


def test_what_to_buy_before_the_first_stitch() -> None:
    """The whole need is bought of one lot; of one skein nothing more is to be said."""
    assert list(shopping_words(need(field(2, 0)[0], cloth=PITCH))) == ["Sample silk 04: 1 skein."]
    (words,) = shopping_words(need(field(200, 0)[0], cloth=PITCH))
    assert "skeins, all of one dye lot" in words
    hand_dyed, plain = silk_need(200, 0), need_of_plain(200)
    assert hand_dyed.margin > plain.margin


def need_of_plain(rows: int) -> ThreadNeed:
    chart, _ = field(rows, 0)
    return need(replace(chart, key=(replace(SILK, kind="stranded cotton"),)), cloth=PITCH).threads[0]


@pytest.mark.parametrize("skeins", [-1.0, float("nan"), float("inf")])
def test_skeins_one_cannot_have(skeins: float) -> None:
    """Fewer skeins than none are told in one sentence, wherever they come from."""
    with pytest.raises(CommandError):
        run_out(silk_need(3, 0), Holding(skeins, 0.0))
    with pytest.raises(CommandError):
        skein_note(silk_need(3, 0), GOT, skeins)
    assert USUAL_SKEIN.strand_mm == SKEIN_MM
