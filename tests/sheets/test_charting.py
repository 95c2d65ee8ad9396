"""From sheets that were read to a chart that can be followed, saved and opened again."""

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart
from stitchview.chart.review import Why
from stitchview.chart.stitches import PointKind
from stitchview.sheets.charting import UNREAD_CODE, Named, Reading, chart_of
from stitchview.sheets.joining import Joined, join_sheets
from stitchview.sheets.linework import single_steps
from stitchview.sheets.straightening import straighten
from tests.paper.photographing import photographed
from tests.paper.printing import Paper, PrintedChart, printed_sheets
from tests.sheets.truthreading import plain_sheet, true_sheet, true_sheets

PRINTED = printed_sheets(50, 36, 9, 4, Paper(across=2, overlap=4))


def charted(printed: PrintedChart = PRINTED) -> Chart:
    """The chart of a perfect reading."""
    sheets = true_sheets(printed)
    return chart_of(
        Reading(tuple(sheets), join_sheets(sheets), {2: Named("Sample cotton 17, slate blue", "17")})
    )


def test_the_chart_has_every_square_line_and_dot_of_the_paper(tmp_path: Path) -> None:
    """What stands on two sheets is one chart, saved and opened again."""
    write_chart(charted(), tmp_path / "read.svchart")
    chart = read_chart(tmp_path / "read.svchart")
    content = PRINTED.content
    assert np.array_equal(chart.squares == 0, content.codes == 0)
    pairs = {*zip(chart.squares.ravel().tolist(), content.codes.ravel().tolist(), strict=True)}
    assert len(pairs) == len(np.unique(content.codes))
    ends = np.stack([chart.lines.x1, chart.lines.y1, chart.lines.x2, chart.lines.y2], axis=1)
    printed_steps = single_steps(np.concatenate([sheet_steps(at) for at in range(2)]).tolist())
    assert single_steps(ends.tolist()) == printed_steps
    knots = {*zip(chart.points.x.tolist(), chart.points.y.tolist(), chart.points.kinds.tolist(), strict=True)}
    assert len(knots) == len(content.knots) + len(content.beads)
    assert (chart.points.kinds == PointKind.KNOT).sum() == len(content.knots)
    assert [entry.name for entry in chart.key][1] == "Sample cotton 17, slate blue"
    assert chart.doubts == Chart(chart.squares, chart.key).doubts


def sheet_steps(at: int) -> np.ndarray:
    """The steps printed on a sheet, in half squares of the whole chart."""
    page = PRINTED.pages[at]
    return np.asarray(np.rint(2 * (page.content.steps + np.array([*page.first, *page.first]))), int)


def test_sheets_lie_on_the_chart_with_their_pictures() -> None:
    """Each picture fills exactly the squares of its sheet."""
    chart = charted()
    assert [(sheet.area.column, sheet.area.columns) for sheet in chart.sheets] == [(0, 27), (23, 27)]
    for sheet in chart.sheets:
        content = np.frombuffer(chart.attachments[sheet.picture], np.uint8)
        assert np.asarray(cv2.imdecode(content, cv2.IMREAD_COLOR)).shape == (12 * 36, 12 * 27, 3)


def test_symbols_are_cut_out_black_on_white() -> None:
    """A symbol's picture looks like the sign that was printed."""
    printed = printed_sheets(24, 20, 6, 12, Paper(line_share=0.0))
    photo = photographed(printed.pages[0], "scan", 3)
    sheet = replace(true_sheet(printed.pages[0]), straight=straighten(photo.picture, photo.lattice, 32, 0))
    chart = chart_of(Reading((sheet,), join_sheets([sheet])))
    for sign, entry in zip(printed.signs, chart.key, strict=False):
        content = np.frombuffer(chart.attachments[entry.symbol.picture], np.uint8)
        cutting = 255 - np.asarray(cv2.imdecode(content, cv2.IMREAD_GRAYSCALE), np.float32)
        true = cv2.resize(sign.ink, (48, 48), interpolation=cv2.INTER_AREA).astype(np.float32)
        inner = slice(5, -5)
        alike = np.corrcoef(cutting[inner, inner].ravel(), true[inner, inner].ravel())[0, 1]
        assert alike > 0.85 or true[inner, inner].std() < 1, sign.name


def test_a_sheet_nobody_has_read_is_a_chart_to_follow(tmp_path: Path) -> None:
    """With a lattice alone every square can be marked, and the picture tells what to stitch."""
    sheet = replace(true_sheet(PRINTED.pages[0]), read=False)
    write_chart(chart_of(Reading((sheet,), join_sheets([sheet]))), tmp_path / "paper.svchart")
    chart = read_chart(tmp_path / "paper.svchart")
    (number,) = np.unique(chart.squares).tolist()
    assert chart.key[number - 1].code == UNREAD_CODE
    assert chart.key[number - 1].name == "Not read yet"
    assert not chart.sheets[0].read
    assert chart.sheets[0].picture in chart.attachments


def test_doubts_are_kept_for_another_evening() -> None:
    """Squares to look at keep their chance and second reading; where sheets differ, that is said."""
    sheets = true_sheets(PRINTED)
    shown = np.zeros_like(sheets[0].shown)
    shown[5, 3] = True
    second, doubt = sheets[0].second.copy(), sheets[0].doubt.copy()
    second[5, 3], doubt[5, 3] = 1, 0.25
    other = sheets[1].piles.copy()
    other[7, 1] = other[7, 1] % 9 + 1
    sheets = [
        replace(sheets[0], shown=shown, second=second, doubt=doubt, doubts=("Column 3 may be two.",)),
        replace(sheets[1], piles=other),
    ]
    chart = chart_of(Reading(tuple(sheets), join_sheets(sheets)))
    found = {
        (column, row): (round(chance, 3), why)
        for column, row, chance, why in zip(
            chart.doubts.columns.tolist(),
            chart.doubts.rows.tolist(),
            chart.doubts.chances.tolist(),
            chart.doubts.whys.tolist(),
            strict=True,
        )
    }
    assert found == {(3, 5): (0.25, Why.SYMBOL), (24, 7): (0.5, Why.SHEETS)}
    assert chart.sheets[0].doubts == ("Column 3 may be two.",)


def test_a_sheet_laid_by_hand_is_to_be_looked_at() -> None:
    """The chart says of which sheet nothing but her hand tells the place."""
    sheets = [
        plain_sheet("left", np.ones((10, 8), np.int32), doubts=("Column 3 may be two.",)),
        plain_sheet("right", np.full((10, 8), 2, np.int32), doubts=("Row 4 may be two.",)),
    ]
    chart = chart_of(Reading(tuple(sheets), Joined(16, 10, ((0, 0), (8, 0)), (), as_laid=((0, 1),))))
    assert chart.sheets[0].doubts == ("Column 3 may be two.",)
    assert "edge to edge with “left”" in chart.sheets[1].doubts[0]
    assert chart.sheets[1].doubts[1:] == ("Row 4 may be two.",)
