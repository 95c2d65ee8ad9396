"""A stage for the tests of the canvas, taken down after each."""

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtWidgets import QApplication

from stitchview.canvas.hands import Tool
from stitchview.chart.model import Chart
from tests.canvas.charts import Making, full_chart
from tests.canvas.handstage import HandStage
from tests.canvas.overviewstage import Corner
from tests.canvas.stage import Stage, close

StageFor = Callable[..., Stage]


@pytest.fixture
def stage_for(qapp: QApplication) -> Iterator[StageFor]:
    """A builder of a canvas in a window from a chart, its width and its height."""
    assert qapp
    stages: list[Stage] = []

    def build(chart: Chart, width: int = 150, height: int = 100) -> Stage:
        stages.append(Stage(chart, width, height))
        return stages[-1]

    yield build
    for stage in stages:
        stage.close()


@pytest.fixture
def hands_on(stage_for: StageFor) -> Callable[[Chart], HandStage]:
    """A builder of a canvas of 400 x 300 pixels with hands on it."""

    def build(chart: Chart) -> HandStage:
        return HandStage(stage_for(chart, 400, 300))

    return build


@pytest.fixture
def hands(hands_on: Callable[[Chart], HandStage]) -> HandStage:
    """Hands with the marking tool on a chart of 40 x 31 squares, each of which has a cross."""
    chart = full_chart(Making(40, 31, 4), bare=True)
    stage = hands_on(Chart(chart.squares % 5 + 1, chart.key))
    stage.hands.set_tool(Tool.MARK)
    return stage


@pytest.fixture
def corner_for(stage_for: Callable[..., Stage]) -> Iterator[Callable[..., Corner]]:
    """A builder of an overview of a chart."""
    corners: list[Corner] = []

    def build(chart: Chart, side: int = 200) -> Corner:
        corners.append(Corner(stage_for(chart), side))
        return corners[-1]

    yield build
    for corner in corners:
        close(corner.overview)
