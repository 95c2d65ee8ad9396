"""Sheets of one chart are joined right or not at all."""

from dataclasses import replace

import numpy as np
import pytest

from stitchview.sheets.joining import join_sheets
from stitchview.sheets.papererror import PaperError
from tests.paper.charts import invented
from tests.sheets.truthreading import cut, plain_sheet

CODES = invented(90, 80, 24, 3, 0.0).codes


def misread(piles: np.ndarray, share: float, seed: int) -> np.ndarray:
    """The squares with a share of them read as any other."""
    random = np.random.default_rng(seed)
    wrong = random.random(piles.shape) < share
    found = piles.copy()
    found[wrong] = random.integers(0, 25, int(wrong.sum()))
    return found


@pytest.mark.parametrize("overlap", [2, 5, 10, 15])
@pytest.mark.parametrize("share", [0.0, 0.03])
def test_four_sheets_in_any_order_are_put_together(overlap: int, share: float) -> None:
    """However she lays the pictures down, each sheet finds its place by what it repeats."""
    boxes = [(0, 0), (45 - overlap, 0), (0, 40 - overlap), (45 - overlap, 40 - overlap)]
    for turn in range(4):
        order = [(turn + at * 3) % 4 for at in range(4)]
        sheets = [
            plain_sheet(
                str(at), misread(cut(CODES, *boxes[at], boxes[at][0] + 45, boxes[at][1] + 40), share, at)
            )
            for at in order
        ]
        joined = join_sheets(sheets)
        assert joined.places == tuple(boxes[at] for at in order)
        assert (joined.columns, joined.rows) == (90 - overlap, 80 - overlap)


def test_photographs_of_parts_of_one_sheet_are_joined_too() -> None:
    """Three photographs that show much of the same make one sheet."""
    boxes = [(0, 0, 50, 50), (31, 7, 90, 60), (12, 33, 77, 80)]
    joined = join_sheets([plain_sheet(str(at), cut(CODES, *box)) for at, box in enumerate(boxes)])
    assert joined.places == ((0, 0), (31, 7), (12, 33))


def test_where_two_sheets_disagree_is_told() -> None:
    """A square read differently on two sheets is named by its place on the whole chart."""
    left, right = cut(CODES, 0, 0, 50, 80), cut(CODES, 44, 0, 90, 80)
    right[11, 2] += 1
    (told,) = join_sheets([plain_sheet("left", left), plain_sheet("right", right)]).disagreements
    assert told.shared == 6 * 80
    assert told.squares.tolist() == [[46, 11]]


def test_the_same_sheet_twice_is_refused() -> None:
    """Two pictures of one sheet are not two sheets."""
    sheet = cut(CODES, 0, 0, 45, 40)
    with pytest.raises(PaperError, match="“again” shows nothing that “first” does not show"):
        join_sheets([plain_sheet("first", sheet), plain_sheet("again", misread(sheet, 0.02, 4))])


def test_a_sheet_of_another_chart_is_refused() -> None:
    """A stranger among the sheets is named."""
    other = invented(45, 40, 24, 77, 0.0).codes
    sheets = [plain_sheet("A", cut(CODES, 0, 0, 50, 80)), plain_sheet("B", cut(CODES, 40, 0, 90, 80))]
    with pytest.raises(PaperError, match="“stranger” shows nothing by which to tell where it belongs"):
        join_sheets([*sheets, plain_sheet("stranger", other)])
    with pytest.raises(PaperError, match="to tell where it belongs beside “A”"):
        join_sheets([sheets[0], plain_sheet("stranger", other)])


def test_numbers_on_the_edges_join_sheets_that_repeat_nothing() -> None:
    """Where no square is shown twice, the printed numbers say where a sheet belongs."""
    left = replace(plain_sheet("left", cut(CODES, 0, 0, 45, 80)), first=(0, 0))
    right = replace(plain_sheet("right", cut(CODES, 45, 0, 90, 80)), first=(45, 0))
    assert join_sheets([right, left]).places == ((45, 0), (0, 0))


def test_bold_lines_forbid_a_place() -> None:
    """A place where bold lines would not fall every ten squares is no place."""
    left = replace(plain_sheet("left", cut(CODES, 0, 0, 50, 80)), heavy_columns=(0, 10, 20, 30, 40, 50))
    right = replace(plain_sheet("right", cut(CODES, 44, 0, 90, 80)), heavy_columns=(3, 13, 23, 33, 43))
    with pytest.raises(PaperError):
        join_sheets([left, right])
    right = replace(right, heavy_columns=(6, 16, 26, 36, 46))
    assert join_sheets([left, right]).places == ((0, 0), (44, 0))


STRANGERS = [invented(30, 40, 24, seed, 0.0).codes for seed in (71, 72, 73)]


def test_what_shows_nothing_in_common_lies_as_she_laid_it() -> None:
    """Right of it and below it, edge to edge; in whatever order the pictures were given."""
    cells = [(1, 1), (0, 1), (0, 0)]
    sheets = [
        plain_sheet(str(at), codes, cell=cell)
        for at, (codes, cell) in enumerate(zip(STRANGERS, cells, strict=True))
    ]
    joined = join_sheets(sheets)
    assert joined.places == ((30, 40), (0, 40), (0, 0))
    assert joined.as_laid == ((0, 1), (1, 2))


def test_what_the_sheets_show_counts_more_than_where_they_lie() -> None:
    """Laid the wrong way round, two sheets that repeat squares are joined by them and nothing is doubted."""
    sheets = [
        plain_sheet("A", cut(CODES, 0, 0, 50, 80), cell=(1, 0)),
        plain_sheet("B", cut(CODES, 40, 0, 90, 80), cell=(0, 0)),
    ]
    joined = join_sheets(sheets)
    assert joined.places == ((0, 0), (40, 0))
    assert not joined.as_laid


def test_a_stranger_that_lies_apart_is_refused() -> None:
    """Corner to corner tells nothing of where a sheet belongs."""
    sheets = [
        plain_sheet("A", STRANGERS[0], cell=(0, 0)),
        plain_sheet("stranger", STRANGERS[1], cell=(1, 1)),
    ]
    with pytest.raises(PaperError, match="drag each sheet to its place"):
        join_sheets(sheets)
