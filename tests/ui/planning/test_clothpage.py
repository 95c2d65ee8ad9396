"""The page about cloth: what is typed is reckoned with, and kept with the piece."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.chart.model import Chart, Cloth
from stitchview.follow.numbering import Numbering
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.clothsize import USUAL_MARGINS, Making, Opening
from stitchview.ui.display import tens_of
from stitchview.ui.planning.clothpage import ClothPage
from stitchview.ui.planworks import PlanPlace
from tests.ui.planning.conftest import Plan, PlanOn


def cloth_page(plan: Plan) -> ClothPage:
    """The page, as it comes up."""
    plan.window.turn_to(list(PlanPlace).index(PlanPlace.CLOTH))
    page = plan.window.tabs.currentWidget()
    assert isinstance(page, ClothPage)
    return page


def test_counts_that_are_typed_are_settled_for_the_piece(plan: Plan) -> None:
    """Both ways apart; everything else that measures on the cloth has the same pitch."""
    page = cloth_page(plan)
    page.form.across.setValue(14)
    page.form.down.setValue(13)
    page.form.over.setValue(1)
    assert plan.bench.piece.piece.count == ClothCount(14, 13)
    assert plan.bench.piece.pitch.down_mm == pytest.approx(25.4 / 13)
    assert "7.7 % longer downward" in page.facts.words_of("Proportions")
    assert "7.7 % longer across" in page.facts.words_of("Cloth turned")
    assert plan.board.shown > 0


def test_the_charts_cloth_comes_back(plan_on: PlanOn, small: Chart) -> None:
    """A button puts away what was settled; then it has nothing more to do."""
    plan = plan_on(replace(small, cloth=Cloth(count=28, over=2)))
    page = cloth_page(plan)
    assert page.form.count == ClothCount(28, 28, over=2)
    assert not page.form.suggested.isEnabled()
    page.form.across.setValue(20)
    assert page.form.suggested.isEnabled()
    QTest.mouseClick(page.form.suggested, Qt.MouseButton.LeftButton)
    assert plan.bench.piece.piece.count is None
    assert page.form.across.value() == 28


def test_the_same_cloth_told_to_10_cm(plan: Plan) -> None:
    """Another measure is no other cloth; back again it is the same but for rounding to hundredths."""
    page = cloth_page(plan)
    page.form.across.setValue(14)
    size = page.facts.words_of("Finished size")
    page.form.unit.setCurrentIndex(1)
    page.form.unit.activated.emit(1)
    assert page.form.across.value() == pytest.approx(55.12)
    assert page.facts.words_of("Finished size") == size
    page.form.unit.setCurrentIndex(0)
    page.form.unit.activated.emit(0)
    assert page.form.across.value() == pytest.approx(14, abs=0.01)


@pytest.mark.parametrize("metric", [False, True])
def test_whatever_can_be_typed_can_be_reckoned_with(plan: Plan, metric: bool) -> None:
    """The least and the most that a field takes are cloth that there is."""
    page = cloth_page(plan)
    page.form.unit.setCurrentIndex(int(metric))
    page.form.unit.activated.emit(int(metric))
    for value in (0, 1e9):
        page.form.across.setValue(value)
        page.form.down.setValue(value)
        assert page.form.count.pitch == plan.bench.piece.pitch
        assert not page.told.isVisible()


def test_margins_follow_what_it_becomes_and_a_frame_is_tried(plan: Plan) -> None:
    """A cushion has a seam; the fit is told once both sides of the frame are."""
    page = cloth_page(plan)
    row = page.form.making.findData(Making.CUSHION.value)
    page.form.making.setCurrentIndex(row)
    page.form.making.activated.emit(row)
    assert plan.bench.piece.piece.margin == USUAL_MARGINS[Making.CUSHION]
    page.form.wide.setValue(30)
    assert page.facts.words_of("Frame, cushion") == ""
    page.form.high.setValue(40)
    assert plan.bench.piece.piece.opening == Opening(300, 400)
    assert page.facts.words_of("Frame, cushion").startswith("It fits")


def test_counting_on_the_cloth_tells_how_sure_it_is_and_is_taken_over(plan: Plan) -> None:
    """Three places each way; the counts are kept, and reckoned with once she says so."""
    page = cloth_page(plan)
    QTest.mouseClick(page.count, Qt.MouseButton.LeftButton)
    assert page.measuring.isVisible()
    assert not page.measuring.take.isEnabled()
    for box, threads in zip(
        (*page.measuring.across, *page.measuring.down), (55, 56, 55, 51, 51, 50), strict=True
    ):
        box.setValue(threads)
    assert "The cloth is uneven: 9.2 %" in page.measuring.told.text()
    before = plan.bench.piece.count
    QTest.mouseClick(page.measuring.take, Qt.MouseButton.LeftButton)
    count = plan.bench.piece.count
    assert count != before
    assert count.per_10_cm == pytest.approx((166 / 3, 152 / 3))
    assert plan.bench.piece.piece.counted is not None


def test_a_picture_is_drawn_on_even_and_uneven_cloth(plan: Plan) -> None:
    """One chart, or two where turning the cloth makes a difference; neither is empty."""
    page = cloth_page(plan)
    seen = []
    for down in (14, 10):
        page.form.across.setValue(14)
        page.form.down.setValue(down)
        image = page.picture.grab().toImage()
        ground = image.pixelColor(1, 1)
        row = [image.pixelColor(x, image.height() // 3) for x in range(image.width())]
        seen.append(sum(colour != ground for colour in row))
    assert min(seen) > 20
    assert seen[0] != seen[1]


def test_gridding_follows_how_she_counts(plan: Plan) -> None:
    """Counted from the centre, threads run there where the chart's bold lines are."""
    chart = plan.desk.chart
    plan.bench.canvas.set_tens(tens_of(chart.columns, chart.rows, Numbering.CENTRE))
    page = cloth_page(plan)
    first = chart.columns // 2 % 10
    assert page.report.across.lines[1].square == first
    assert f"the first after column {first} " in page.facts.words_of("Gridding")
