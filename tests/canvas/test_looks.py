"""What the canvas draws can be told apart, by the contrast that a reference library measures."""

import itertools

import pytest
from coloraide import Color

from stitchview.canvas.looks import DAY, NIGHT, Ground, Look
from stitchview.chart.colour import Colour, contrast

GROUNDS = {"day": DAY, "night": NIGHT}
# Every corner and edge of the colours a thread can have, and what lies between.
LEVELS = (0, 51, 102, 128, 153, 204, 255)
THREADS = tuple(Colour(*parts) for parts in itertools.product(LEVELS, repeat=3))
LOOKS = tuple(
    Look(paper=paper, worked=worked, night=night)
    for paper, worked, night in itertools.product((False, True), repeat=3)
)

TEXT, FORM = 4.5, 3.0
"""WCAG 2.2: 1.4.3 for what is read, 1.4.11 for what is only seen."""


def measured(one: Colour, other: Colour) -> float:
    """The contrast ratio of two colours as the reference library `coloraide` measures it (WCAG 2.1 form)."""
    return float(Color(one.hex).contrast(Color(other.hex), method="wcag21"))


@pytest.mark.parametrize("look", LOOKS, ids=str)
def test_symbols_still_to_do_can_be_read_on_any_thread(look: Look) -> None:
    """The symbol of every open square stands out at 4.5 : 1, whatever the thread's colour."""
    for thread in THREADS:
        fill = look.open_fill(thread)
        assert measured(look.open_ink(fill), fill) >= TEXT, thread.hex


@pytest.mark.parametrize("look", LOOKS, ids=str)
def test_symbols_that_step_back_can_still_be_made_out(look: Look) -> None:
    """Done symbols, and those of other threads than the one in hand, stand out at 3 : 1."""
    for thread in THREADS:
        pale = look.open_fill(thread).mixed(look.ground.paper, 0.82)
        for fill in (look.cleared_fill(thread), pale):
            assert measured(look.faded_ink(fill), fill) >= FORM, thread.hex


@pytest.mark.parametrize("look", [look for look in LOOKS if not look.worked], ids=str)
def test_a_cleared_symbol_is_weaker_than_an_open_one(look: Look) -> None:
    """A done symbol is less strong on its ground than an open one, so that what is left stands out."""
    for thread in THREADS:
        fill, cleared = look.open_fill(thread), look.cleared_fill(thread)
        assert measured(look.faded_ink(cleared), cleared) < measured(look.open_ink(fill), fill)


@pytest.mark.parametrize("name", GROUNDS)
def test_edges_and_pointers_are_seen_on_any_square(name: str) -> None:
    """The band's edges and the pointers have two tones, one of which stands out at 3 : 1 on any colour."""
    ground = GROUNDS[name]
    for ink in (ground.edge, ground.pointer):
        for square in THREADS:
            assert max(measured(ink, square), measured(ground.paper, square)) >= FORM, square.hex


@pytest.mark.parametrize("name", GROUNDS)
def test_the_frame_and_the_bold_lines_stand_out(name: str) -> None:
    """The chart's border on desk and paper, and every tenth line on paper, are seen at 3 : 1."""
    ground: Ground = GROUNDS[name]
    assert measured(ground.border, ground.desk) >= TEXT
    assert measured(ground.border, ground.paper) >= FORM
    assert measured(ground.bold, ground.paper) >= FORM
    assert measured(ground.faded_ink, ground.paper) >= FORM
    assert measured(ground.edge, ground.desk) >= FORM
    assert measured(ground.pointer, ground.desk) >= FORM


def test_our_own_measure_agrees_with_the_reference() -> None:
    """The contrast the canvas chooses its inks by is the one the reference library measures."""
    for one, other in itertools.product(THREADS[::7], THREADS[::11]):
        assert contrast(one, other) == pytest.approx(measured(one, other), rel=1e-3)
