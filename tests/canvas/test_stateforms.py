"""Every state is told by its form: in grey, in every look, from two pixels a square to forty, and far out."""

import itertools
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from stitchview.canvas.atlas import make_atlas
from stitchview.canvas.glyphs import GlyphPaths
from stitchview.canvas.looks import Look
from stitchview.canvas.squarepictures import square_pictures
from stitchview.canvas.threads import Threads
from stitchview.chart.area import Area
from stitchview.chart.colour import BLACK, WHITE, Colour
from stitchview.chart.model import KeyEntry, Symbol
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN, STATES
from tests.canvas.charts import Making, full_chart
from tests.canvas.stage import LOOKS, Stage

pytestmark = pytest.mark.usefixtures("qapp")

StageFor = Callable[..., Stage]

GREY = Colour(0x80, 0x80, 0x80)
COLOURS = (WHITE, BLACK, GREY, Colour(0x30, 0x50, 0x90), Colour(0xD8, 0xA0, 0x40))
KEY = tuple(
    KeyEntry(str(at), Symbol(sign), str(at), colour=colour)
    for at, (sign, colour) in enumerate(zip("aX●4+", COLOURS, strict=True))
)
CODES = len(KEY) + 1
GROUNDS = [look for look in LOOKS if look.dim == LOOKS[0].dim]


def forms(pictures: NDArray[np.float32]) -> NDArray[np.float32]:
    """Pictures in grey, each stretched from black to white: what is left is their form."""
    grey = pictures.mean(-1)
    low, high = (grey.min((1, 2), keepdims=True), grey.max((1, 2), keepdims=True))
    stretched: NDArray[np.float32] = (grey - low) / np.maximum(high - low, 24)
    return stretched


@pytest.mark.parametrize("look", GROUNDS)
@pytest.mark.parametrize("pitch", [2, 3, 4, 5, 6, 7, 9, 12, 16, 24, 40])
def test_no_two_states_have_one_form(look: Look, pitch: int) -> None:
    """Of white, black, grey or any thread, no state looks like another but for its colour."""
    threads = Threads(KEY, GlyphPaths(KEY, {}), look)
    for number in range(1, CODES):
        told = forms(square_pictures(threads, np.arange(STATES) * CODES + number, pitch))
        for one, other in itertools.combinations(range(STATES), 2):
            assert np.abs(told[one] - told[other]).max() > 0.2, (number, one, other)


def test_the_common_states_are_drawn_before_the_others_come() -> None:
    """An evening without first legs or mistakes makes no pictures of them; the first one is drawn then."""
    threads = Threads(KEY, GlyphPaths(KEY, {}), Look())
    atlas, pitch = make_atlas(threads, 16), 16
    assert atlas.slots == 2 * CODES
    before = atlas.lit.copy()
    codes = np.array([[1, CODES + 2, MISTAKE * CODES + 3]], np.uint16)
    slots = atlas.slots_for(codes)
    assert slots[0, :2].tolist() == codes[0, :2].tolist()
    assert len(atlas.lit) > len(before)
    pictures = atlas.lit.reshape(pitch, atlas.slots, pitch)[:, slots[0]].transpose(1, 0, 2)
    assert not np.array_equal(pictures[2], pictures[0])
    assert np.array_equal(before.reshape(pitch, -1, pitch)[:, 1], pictures[0])


@pytest.mark.parametrize(
    # Part stitches below 10 pixels are their mean colour.
    ("family", "pitch"),
    [(1, 10), (1, 16), (1, 30), *itertools.product((2, 3), (7, 9, 10, 16, 30))],
)
@pytest.mark.parametrize("look", [0, 2, 4, 10])
def test_part_stitches_lines_knots_and_beads_have_forms_too(
    stage_for: StageFor, family: int, look: int, pitch: int
) -> None:
    """Later and mistakes look like neither done nor open, nor like each other."""
    stage = stage_for(full_chart(Making(40, 31, 5)), 400, 300)
    stage.look(look)
    stage.zoom(pitch, 20, 15)
    shown = []
    for state in (OPEN, DONE, LATER, MISTAKE):
        stage.mark(family, 0, 10_000, state if state != LATER else OPEN)
        if state == LATER:
            stage.mark(family, 0, 10_000, LATER)
        shown.append(stage.shown_canvas().copy())
        assert stage.difference() == ""
    for one, other in itertools.combinations(shown, 2):
        assert np.count_nonzero(one != other) > 200


def test_a_mark_of_any_state_alters_only_its_own_squares(stage_for: StageFor) -> None:
    """Beside the squares marked, no pixel is another one than before."""
    stage = stage_for(full_chart(Making(40, 31, 5), bare=True), 400, 300)
    stage.zoom(10, 20, 15)
    for number, state in enumerate((FIRST_LEG, LATER, MISTAKE, DONE, OPEN)):
        before = stage.shown_canvas().copy()
        stage.mark(0, 40 * 15 + 15 + number, 1, state)
        changed = stage.shown_canvas() != before
        rows, columns = np.nonzero(changed)
        area = Area(15 + number, 15, 1, 1)
        x, y, width, height = stage.canvas.view.pixels_of(area)
        assert len(rows) == 0 or (
            x <= columns.min() and columns.max() < x + width and y <= rows.min() and rows.max() < y + height
        )
