"""Back stitch, knots and beads are found over the symbols, on scans and on careful photographs."""

import numpy as np
import pytest

from stitchview.sheets.backstitch import find_lines
from stitchview.sheets.dots import find_dots, without_dots
from stitchview.sheets.inkleft import InkLeft, ink_left
from stitchview.sheets.linework import single_steps
from stitchview.sheets.straightening import Straight, straighten
from tests.paper.charts import Content
from tests.paper.photographing import photographed
from tests.paper.printing import Paper, printed_sheets


def looked_at(condition: str, seed: int, line_share: float = 0.05) -> tuple[InkLeft, Content]:
    """A printed sheet in a picture, straightened by its true lattice, its true piles taken away."""
    page = printed_sheets(46, 40, 14, seed, Paper(line_share=line_share)).pages[0]
    photo = photographed(page, condition, seed)
    pitch = min(32, round(photo.lattice.pixels_a_square))
    straight = straighten(photo.picture, photo.lattice, pitch, pitch)
    return ink_left(straight, page.content.codes), page.content


def printed_steps(content: Content) -> set[tuple[int, int, int, int]]:
    """The smallest steps of the back stitch that was printed."""
    return single_steps(np.rint(content.steps * 2).astype(int).tolist())


@pytest.mark.parametrize(("condition", "least"), [("scan", 0.95), ("careful", 0.93)])
def test_nearly_every_step_of_back_stitch_is_found_and_few_invented(condition: str, least: float) -> None:
    """Straight, slanting, by half squares and by a knight's step, solid and dashed, on three sheets each."""
    right = found = printed = 0
    for seed in (21, 22, 23):
        ink, content = looked_at(condition, seed)
        lines = single_steps(find_lines(without_dots(ink, find_dots(ink))).ends.tolist())
        true = printed_steps(content)
        right, found, printed = right + len(lines & true), found + len(lines), printed + len(true)
    assert right >= least * found
    assert right >= least * printed


def test_a_sheet_without_back_stitch_has_none() -> None:
    """Bold lines and black symbols are not taken for back stitch."""
    ink, content = looked_at("scan", 24, line_share=0.0)
    assert not len(content.steps)
    assert len(find_lines(ink)) <= 2
    assert not len(find_dots(ink))


def test_dots_that_are_found_are_there() -> None:
    """Full dots are knots, rings are beads, and at least half of them are seen between the symbols."""
    right = found = printed = 0
    for seed in (31, 32):
        ink, content = looked_at("scan", seed, line_share=0.25)
        dots = find_dots(ink)
        seen = {
            (x, y, is_open) for (x, y), is_open in zip(dots.places.tolist(), dots.open.tolist(), strict=True)
        }
        true = {(*place, False) for place in np.rint(content.knots * 2).astype(int).tolist()}
        true |= {(*place, True) for place in np.rint(content.beads * 2).astype(int).tolist()}
        right, found, printed = right + len(seen & true), found + len(seen), printed + len(true)
    assert right >= 0.75 * found
    assert right >= 0.45 * printed


def test_no_line_leaves_the_sheet() -> None:
    """Numbers and arrows beside the edge, and lines cut off by it, give no step beyond it."""
    straight = blank_sheet()
    grey = straight.grey.copy()
    for at in range(0, 24 * 6):
        grey[max(0, at - 2) : at + 2, at : at + 3] = 5
        grey[max(0, 24 * 6 - at - 2) : 24 * 6 - at + 2, 24 * 5 + at : 24 * 5 + at + 3] = 5
    ink = ink_left(Straight(grey, straight.colour, 24, 24, 12, 10), np.zeros((10, 12), np.int32))
    ends = find_lines(ink).ends.reshape(-1, 2)
    assert len(ends)
    assert ends.min() >= 0
    assert (ends <= (24, 20)).all()


def blank_sheet() -> Straight:
    """White paper with thin lines, 12 x 10 squares of 24 pixels."""
    grey = np.full((12 * 24, 14 * 24), 250, np.uint8)
    grey[::24] = grey[:, ::24] = 60
    return Straight(grey, np.stack([grey] * 3, axis=2), 24, 24, 12, 10)


def test_one_line_is_one_run_with_its_way_of_drawing() -> None:
    """A solid line and a dashed one come out as they were drawn, each in one piece."""
    straight = blank_sheet()
    grey = straight.grey.copy()
    grey[24 + 24 * 3 + 10 : 24 + 24 * 3 + 14, 24 + 24 : 24 + 24 * 9] = 5
    for x in range(24 + 24 * 2, 24 + 24 * 8, 12):
        grey[24 + 24 * 6 + 10 : 24 + 24 * 6 + 14, x + 2 : x + 10] = 5
    ink = ink_left(Straight(grey, straight.colour, 24, 24, 12, 10), np.zeros((10, 12), np.int32))
    lines = find_lines(ink)
    told = dict(zip(map(tuple, lines.ends.tolist()), lines.dashed.tolist(), strict=True))
    assert told == {(2, 7, 18, 7): False, (4, 13, 16, 13): True}
    assert lines.strengths[0] > 0.8
