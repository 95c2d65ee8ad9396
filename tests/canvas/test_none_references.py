"""Guard against Qt bindings that give away references to None until Python aborts."""

import sys
from collections.abc import Callable

import pytest
from PySide6.QtGui import QImage, QPainter

from stitchview.chart.model import Chart
from tests.canvas.stage import Stage

CALLS = 1000
# Other code may hold None a little more or less often meanwhile; a leak loses one a call at least.
SLACK = 100

pytestmark = pytest.mark.skipif(
    sys.version_info >= (3, 12), reason="from Python 3.12 on None is immortal and has no count to lose"
)


def test_painting_gives_no_reference_to_none_away(
    stage_for: Callable[..., Stage], small_chart: Callable[[], Chart]
) -> None:
    """An evening of painting leaves Python as sound as it was (PySide6 6.12.0 on 3.11 did not)."""
    canvas = stage_for(small_chart()).canvas
    canvas.repaint()
    before = sys.getrefcount(None)
    for _ in range(CALLS):
        canvas.repaint()
    assert abs(sys.getrefcount(None) - before) < SLACK


def test_single_calls_give_none_away(
    stage_for: Callable[..., Stage], small_chart: Callable[[], Chart]
) -> None:
    """Nor does any of the calls of which a painting is made."""
    stage = stage_for(small_chart())
    image = QImage(50, 50, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    calls: tuple[Callable[[], object], ...] = (
        lambda: painter.drawImage(0, 0, image),
        lambda: painter.drawLine(0, 0, 9, 9),
        lambda: painter.fillRect(0, 0, 5, 5, 0xFF112233),
        painter.save,
        painter.restore,
        stage.canvas.update,
        lambda: stage.canvas.scroll(1, 0),
    )
    for call in calls:
        before = sys.getrefcount(None)
        for _ in range(CALLS):
            call()
        assert abs(sys.getrefcount(None) - before) < SLACK, call
    painter.end()
