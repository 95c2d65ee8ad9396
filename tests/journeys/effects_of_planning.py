"""What the actions of planning must come to: set the scene, yield for the key, look."""

from collections.abc import Iterator

import pytest

from stitchview.follow.tape import between_squares
from stitchview.ui.planning.clothpage import ClothPage
from stitchview.ui.planning.planpage import PlanPage
from stitchview.ui.planning.planwindow import PlanWindow
from stitchview.ui.tapewords import measured_words
from tests.journeys.effects_at_the_cloth import slip_of
from tests.journeys.effects_of_looking import Scene
from tests.journeys.sofa import Sofa


def page_up(sofa: Sofa) -> PlanPage:
    """The page of the planning window that is up."""
    window = sofa.works.cloth.plan.window
    assert isinstance(window, PlanWindow)
    sofa.qtbot.waitUntil(window.isActiveWindow)
    page = window.tabs.currentWidget()
    assert isinstance(page, PlanPage)
    return page


def plans_the_cloth(sofa: Sofa) -> Iterator[None]:
    columns = sofa.desk.chart.columns
    yield
    page = page_up(sofa)
    assert isinstance(page, ClothPage)
    page.form.across.setFocus()
    page.form.across.selectAll()
    sofa.press("1", "0", "Return")
    centimetres = columns * page.form.over.value() * 25.4 / 10 / 10
    assert page.facts.words_of("Finished size").startswith(f"{centimetres:.1f} x ")
    sofa.press("Escape")
    assert not page.isVisible()
    # The tape measures on the same cloth.
    sofa.window.activateWindow()
    sofa.qtbot.waitUntil(sofa.window.isActiveWindow)
    sofa.canvas.setFocus()
    sofa.put_pointer((5, 5))
    sofa.press("R", *["Shift+Right"] * 10)
    across = between_squares((5, 5), (15, 5), sofa.works.cloth.plan.bench.piece.pitch)
    assert measured_words(across) in slip_of(sofa)
    assert across.mm == pytest.approx(page.form.over.value() * 25.4)


PLANNING: dict[str, Scene] = {
    "plan-cloth": plans_the_cloth,
}
