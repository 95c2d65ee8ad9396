"""A chart against her stash: what she has, what is short, what to buy, and what could stand in."""

import json
from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.colour import Colour
from stitchview.chart.model import UNTOLD
from stitchview.plan.interval import Interval
from stitchview.plan.likeness import difference
from stitchview.plan.stash import Holding, Stash
from stitchview.plan.stashmatch import matching
from stitchview.plan.stashreport import Standing, StashReport, Verdict, against_stash
from stitchview.plan.stashsubstitutes import CAUTION, substitutes, words_for
from stitchview.plan.stashwords import called, report_lines, report_members, standing_words
from stitchview.plan.threads import BoughtThread, Share

SLATE = BoughtThread(
    "Sample cotton 17, slate blue", "17", "stranded cotton", Colour(0x4A, 0x5B, 0x6C), (Share(1, 1),)
)
SILK = BoughtThread("Sample silk 17, rose", "17", "silk", Colour(0xC0, 0x70, 0x80), (Share(2, 1),))
NEED = Interval(1.2, 1.5, 2.0)


def standing_of(thread: BoughtThread, *held: Holding, need: Interval | None = NEED) -> Standing:
    needs = {} if need is None else {thread.identity: need}
    return against_stash([thread], Stash(held), needs).standings[0]


@pytest.mark.parametrize(
    "held",
    [
        Holding("Sample cotton 17, slate blue", "17"),
        Holding("  sample COTTON 17,  Slate Blue ", ""),
        Holding("", "17", kind="stranded cotton"),
        Holding("slate blue", "17"),
        Holding("slate blue", "017"),
        Holding("slate blue", "17.0"),
        Holding("slate blue", "17", range="Sample cotton"),
        Holding("Sample cotton 17, slate blue, 8 m", "17", kind="Stranded Cotton"),
        Holding("Ｓlate blue", "１７"),
    ],
)
def test_a_thread_is_found_however_she_wrote_it(held: Holding) -> None:
    """Capitals, spaces, lost noughts and half names do not hide a thread that she has."""
    found = matching([SLATE], [held]).found[0]
    assert found.owned == (held,)
    assert not found.perhaps


@pytest.mark.parametrize(
    "held",
    [
        Holding("rose", "17"),
        Holding("storm", "17", colour=Colour(0x4C, 0x5C, 0x6E)),
        Holding("Sample cotton 17, slate blue", "17", kind="silk"),
    ],
)
def test_a_thread_that_is_perhaps_another_is_not_counted(held: Holding) -> None:
    """The same number under another name or kind is shown and not counted."""
    standing = standing_of(SLATE, replace(held, skeins=5, line=2))
    assert standing.perhaps[0].line == 2
    assert standing.skeins == 0
    assert standing.verdict is Verdict.BUY
    assert "Perhaps the same" in standing_words(standing)


@pytest.mark.parametrize(
    "held",
    [
        Holding("slate blue", "18"),
        Holding("Sample cotton 17, slate blue", "18"),
        Holding("", "17", kind="silk"),
        Holding("", "17", range="Sample wool"),
        Holding("rose", "17", colour=Colour(0xC0, 0x70, 0x80)),
        Holding("navy", ""),
        Holding(),
    ],
)
def test_another_thread_is_not_taken_for_it(held: Holding) -> None:
    """Another number, kind or range is another thread, and is listed as not used."""
    result = matching([SLATE], [held])
    assert result.found[0].owned == result.found[0].perhaps == ()
    assert result.others == (held,)


def test_a_bare_number_that_two_threads_share_is_sure_for_neither() -> None:
    """Cotton 17 and silk 17 are in one chart: a row that says only 17 counts for none of them."""
    bare, told = Holding("", "17"), Holding("", "17", kind="silk")
    result = matching([SLATE, SILK], [bare, told])
    assert result.found[0].owned == ()
    assert result.found[0].perhaps == (bare,)
    assert result.found[1].owned == (told,)
    assert result.found[1].perhaps == (bare,)


def test_a_thread_without_a_number_is_found_by_its_name() -> None:
    """Where the key has no numbers the names tell."""
    plain = BoughtThread("Harbour green", "", "wool", UNTOLD, (Share(1, 1),))
    assert matching([plain], [Holding("harbour-green", "")]).found[0].owned
    assert matching([plain], [Holding("Harbour green", "9")]).found[0].owned
    assert not matching([plain], [Holding("Harbour green, pale", "")]).found[0].owned


@pytest.mark.parametrize(
    ("skeins", "verdict", "buy"),
    [
        (3.0, Verdict.HAVE, 0),
        (2.0, Verdict.HAVE, 0),
        (1.99, Verdict.PROBABLY, 1),
        (1.5, Verdict.PROBABLY, 1),
        (1.4, Verdict.SHORT, 1),
        (0.5, Verdict.SHORT, 2),
        (0.0, Verdict.BUY, 2),
    ],
)
def test_what_to_buy_makes_up_the_high_end(skeins: float, verdict: Verdict, buy: int) -> None:
    """A thread that needs 1.2 to 2 skeins is enough at 2, and what is bought makes up 2."""
    standing = standing_of(SLATE, Holding("slate blue", "17", skeins=skeins))
    assert (standing.verdict, standing.buy, standing.buy_one_lot) == (verdict, buy, 2)
    assert standing.skeins + standing.buy >= NEED.high


def test_tenths_of_skeins_add_up_without_crumbs() -> None:
    """Three rows of 0.1 skeins are 0.3 skeins, and do for a need of 0.3."""
    rows = [Holding("slate blue", "17", skeins=0.1)] * 3
    assert standing_of(SLATE, *rows, need=Interval(0.1, 0.2, 0.3)).verdict is Verdict.HAVE


def test_dye_lots_are_kept_apart() -> None:
    """Two lots together are enough, but none alone, and she is told both."""
    standing = standing_of(
        SLATE,
        Holding("slate blue", "17", skeins=1, lot="A 4"),
        Holding("slate blue", "17", skeins=1.5, lot="B 1"),
    )
    assert standing.verdict is Verdict.HAVE
    assert [(held.lot, held.skeins) for held in standing.lots] == [("B 1", 1.5), ("A 4", 1)]
    assert not standing.one_lot_does
    assert "2 lots: 1.5 skeins of B 1, 1 skein of A 4" in standing_words(standing)
    alone = standing_of(SLATE, Holding("slate blue", "17", skeins=2, lot="A 4"))
    assert alone.one_lot_does


def test_a_short_thread_warns_that_the_new_lot_may_differ() -> None:
    """Who buys one more skein is told how many one lot would take for all."""
    words = standing_words(standing_of(SLATE, Holding("slate blue", "17", skeins=1, lot="A 4")))
    assert words == (
        "short: you have 1 skein, it needs 1.2 to 2 skeins; buy 1 skein more."
        " A new skein may be of another lot; 2 skeins for all of it from one lot."
    )


def test_unknown_skeins_and_needs_are_said_to_be_unknown() -> None:
    """Rows without skeins and threads without a need are listed, not dropped and not guessed."""
    standing = standing_of(SLATE, Holding("slate blue", "17", skeins=None), need=None)
    assert standing.verdict is Verdict.OPEN
    assert standing.buy == standing.buy_one_lot == 0
    assert standing.untold == 1
    assert "not known" in standing_words(standing)
    assert "1 row does not tell" in standing_words(standing)


def lacking(*held: Holding, thread: BoughtThread = SLATE) -> StashReport:
    return against_stash([thread], Stash(held), {thread.identity: NEED})


def test_substitutes_are_the_nearest_she_owns_with_an_honest_word() -> None:
    """For a thread she lacks the three nearest of her own are shown, with how near, and a caution."""
    colours = [Colour(*each) for each in np.random.default_rng(5).integers(0, 256, (300, 3)).tolist()]
    rows = [
        Holding(f"shade {n}", str(100 + n), colour=colour, skeins=1, line=n)
        for n, colour in enumerate(colours)
    ]
    report = lacking(*rows)
    offers = substitutes(report)[0].offers
    every = sorted((difference(SLATE.colour, colour), n) for n, colour in enumerate(colours))
    assert [(offer.difference, offer.holdings[0].line) for offer in offers] == every[:3]
    assert not offers[0].enough
    assert offers[0].same_kind is None
    text = "\n".join(report_lines(report, substitutes(report)))
    assert words_for(every[0][0]) in text
    assert CAUTION in text


def test_far_colours_are_no_substitute_in_words() -> None:
    """Where nothing she owns is near, that is said, with the nearest there is."""
    row = Holding("rose", "9", colour=Colour(0xC0, 0x70, 0x80), skeins=3, line=2)
    report = lacking(row)
    lines = report_lines(report, substitutes(report))
    apart = difference(SLATE.colour, Colour(0xC0, 0x70, 0x80))
    assert f"    No substitute: the nearest is 9, rose (difference {apart:.1f})." in lines


def test_what_the_chart_needs_itself_is_not_offered() -> None:
    """A thread that the chart uses up is no substitute; what is left over of it is."""
    near = BoughtThread("Sample cotton 18", "18", "stranded cotton", Colour(0x4B, 0x5C, 0x6D), (Share(2, 1),))
    needs = {SLATE.identity: NEED, near.identity: Interval(1, 2, 3)}
    row = Holding("", "18", colour=near.colour, skeins=3, line=2)
    none_left = against_stash([SLATE, near], Stash((row,)), needs)
    assert substitutes(none_left)[0].offers == ()
    assert substitutes(none_left)[0].why
    some_left = against_stash([SLATE, near], Stash((replace(row, skeins=4.5),)), needs)
    assert [offer.skeins for offer in substitutes(some_left)[0].offers] == [1.5]


def test_beads_stand_in_for_beads_only() -> None:
    """A bead is not offered for a thread, nor thread for a bead; empty rows are not offered at all."""
    bead = Holding("Sample bead 2", "2", kind="bead", colour=SLATE.colour, skeins=9, line=2)
    wool = Holding("Sample wool 3", "3", kind="wool", colour=SLATE.colour, skeins=9, line=3)
    gone = Holding("Sample wool 4", "4", colour=SLATE.colour, skeins=0, line=4)
    offers = substitutes(lacking(bead, wool, gone))[0].offers
    assert [(offer.holdings[0].line, offer.same_kind, offer.enough) for offer in offers] == [(3, False, True)]
    beads = substitutes(lacking(bead, wool, thread=replace(SLATE, kind="bead")))[0].offers
    assert [offer.holdings[0].line for offer in beads] == [2]


def test_without_a_colour_nothing_is_guessed() -> None:
    """A thread whose colour the chart does not tell gets no substitute, and a reason."""
    row = Holding("Sample wool 3", "3", colour=UNTOLD, skeins=9)
    found = substitutes(lacking(row, thread=replace(SLATE, colour=UNTOLD)))[0]
    assert found.offers == ()
    assert "no colour" in found.why


def test_the_whole_comparison_goes_out_as_json() -> None:
    """Five thousand rows against 120 threads: every thread and every row is in the answer."""
    threads = [
        BoughtThread(f"Sample cotton {n}", str(n), "stranded cotton", Colour(n, 2 * n, n), (Share(n + 1, 1),))
        for n in range(120)
    ]
    rows = [
        Holding(f"Sample cotton {n}", str(n), colour=Colour(*parts), skeins=n % 3, line=n + 2)
        for n, parts in enumerate(np.random.default_rng(6).integers(0, 256, (5000, 3)).tolist(), 60)
    ]
    report = against_stash(threads, Stash(tuple(rows)), {thread.identity: NEED for thread in threads})
    members = json.loads(json.dumps(report_members(report, substitutes(report)), allow_nan=False))
    assert len(members["threads"]) == 120
    assert len(members["notUsed"]) + sum(len(each["rows"]) for each in members["threads"]) == 5000
    assert len(members["threads"][0]["substitutes"]) == 3
    assert len(report.of(*Verdict)) == 120


def test_a_thread_is_called_by_name_and_number_once() -> None:
    """The number is said once, whether the name has it or not."""
    assert called(SLATE) == "Sample cotton 17, slate blue"
    assert called(replace(SLATE, name="slate blue")) == "slate blue (17)"
    assert called(replace(SLATE, name="")) == "17"
