"""A stage for the tests of the canvas, taken down after each."""

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtWidgets import QApplication

from stitchview.chart.model import Chart
from tests.canvas.handstage import HandStage
from tests.canvas.stage import Stage

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
