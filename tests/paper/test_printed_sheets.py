"""The generator of printed sheets tells the truth about what it prints."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from tests.paper.looks import Look
from tests.paper.printing import PITCH, Page, Paper, printed_sheets
from tests.paper.symbols import drawn_signs


@pytest.fixture(scope="module")
def page() -> Page:
    """A sheet of 34 x 27 squares with plain black lines."""
    return printed_sheets(34, 27, 20, seed=5, paper=Paper(look=Look(bold_from=(3, 4)))).pages[0]


def grey(page: Page) -> NDArray[np.uint8]:
    """The page without colour."""
    return np.asarray(cv2.cvtColor(page.pixels, cv2.COLOR_RGB2GRAY), np.uint8)


def test_true_nodes_lie_where_printed_lines_cross(page: Page) -> None:
    """Round every crossing the ink is heaviest exactly at the crossing, not one pixel beside it."""
    pixels = 255.0 - grey(page)
    where = np.rint(page.nodes + 0.5).astype(int)
    for row, column in np.ndindex(where.shape[:2]):
        x, y = where[row, column]
        around = pixels[y - 4 : y + 4, x - 4 : x + 4]
        assert around[3:5].mean() > 200, (column, row)
        assert around[:, 3:5].mean() > 200, (column, row)
    middle = page.nodes[:-1, :-1] + PITCH / 2
    assert where.shape == (28, 35, 2)
    assert middle[-1, -1, 0] < page.pixels.shape[1]


def test_bold_lines_are_wider_than_thin_ones_and_at_the_told_places(page: Page) -> None:
    """Counting from column 3, lines 3, 13, 23 and 33 are bold, and from row 4 lines 4, 14 and 24."""
    assert page.heavy_columns == (3, 13, 23, 33)
    assert page.heavy_rows == (4, 14, 24)
    ink = 255.0 - grey(page)
    top, left = (round(float(value)) for value in page.nodes[0, 0, ::-1])
    height, width = 27 * PITCH, 34 * PITCH
    along = ink[top : top + height, left - 10 : left + width + 10].mean(axis=0)
    widths = [along[10 + line * PITCH - 5 : 10 + line * PITCH + 6].sum() for line in range(35)]
    inner = [width for line, width in enumerate(widths) if line not in (0, 34)]
    bold = [widths[line] for line in page.heavy_columns]
    thin = [width for width in inner if width not in bold]
    assert min(bold) > np.median(thin) * 1.5


def test_a_blank_square_is_white_and_equal_codes_look_alike(page: Page) -> None:
    """Squares away from back stitch show exactly their sign: the same code, the same pixels."""
    seen: dict[int, NDArray[np.uint8]] = {}
    touched = np.zeros(page.content.codes.shape, bool)
    marks = [page.content.steps[:, :2], page.content.steps[:, 2:], page.content.knots, page.content.beads]
    for x, y in np.concatenate(marks):
        touched[max(0, int(y) - 2) : int(y) + 3, max(0, int(x) - 2) : int(x) + 3] = True
    for row, column in np.argwhere(~touched):
        left, top = np.rint(page.nodes[row, column] + 0.5).astype(int)
        square = grey(page)[top + 4 : top + PITCH - 4, left + 4 : left + PITCH - 4]
        code = int(page.content.codes[row, column])
        assert np.array_equal(square, seen.setdefault(code, square))
        assert code != 0 or square.min() == 255
    assert len(seen) > 8


def test_every_step_of_back_stitch_is_printed_dark_along_its_way(page: Page) -> None:
    """Solid steps are dark at begin, middle and end; all steps end on half points."""
    steps, dashed = page.content.steps, page.content.dashed
    assert len(steps) > 20
    assert np.array_equal(steps * 2, np.rint(steps * 2))
    pixels = grey(page)
    for step in steps[~dashed]:
        for share in (0.05, 0.3, 0.5, 0.7, 0.95):
            x, y = page.nodes[0, 0] + PITCH * (step[:2] * (1 - share) + step[2:] * share)
            beads = np.abs(page.content.beads * PITCH + page.nodes[0, 0] - (x, y)).max(axis=1, initial=0)
            if not len(beads) or beads.min() > PITCH:
                assert pixels[round(y), round(x)] < 60


def test_sheets_of_one_chart_repeat_the_same_squares_shaded() -> None:
    """Four sheets of one chart share their overlapping columns and rows, grey on the later sheet only."""
    printed = printed_sheets(50, 41, 15, seed=2, paper=Paper(2, 2, 4, look=Look(repeated_shade=200)))
    assert len(printed.pages) == 4
    first, beside, below, _ = printed.pages
    assert np.array_equal(first.content.codes[:, -4:], beside.content.codes[:, :4])
    assert np.array_equal(first.content.codes[-4:], below.content.codes[:4])
    whole = np.zeros_like(printed.content.codes) - 1
    for page in printed.pages:
        left, top = page.first
        rows, columns = page.content.codes.shape
        whole[top : top + rows, left : left + columns] = page.content.codes
    assert np.array_equal(whole, printed.content.codes)
    x, y = np.rint(beside.nodes[0, 0] + 6).astype(int)
    assert beside.pixels[y, x, 0] in (12, *range(150, 201))
    assert int(np.median(beside.pixels[y : y + 400, x : x + 4 * PITCH])) <= 200


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_up_to_120_signs_can_be_told_apart(seed: int) -> None:
    """No two signs of one chart are the same ink, and another seed chooses other signs."""
    signs = drawn_signs(120, seed)
    assert len({sign.ink.tobytes() for sign in signs}) == 120
    assert {sign.name for sign in signs} != {sign.name for sign in drawn_signs(120, seed + 10)}
    assert len({sign.family for sign in drawn_signs(30, seed)}) >= 3


def test_the_same_seed_prints_the_same_page() -> None:
    """A test that fails can be run again on the very same paper."""
    one, other = (printed_sheets(20, 15, 9, seed=8).pages[0] for _ in range(2))
    assert np.array_equal(one.pixels, other.pixels)
    assert not np.array_equal(one.content.codes, printed_sheets(20, 15, 9, seed=9).content.codes)
