"""The strip that calls runs out keeps what can be pressed readable."""

from collections.abc import Iterator

import pytest
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from stitchview.ui.calls import Calls
from stitchview.ui.runspanel import RunsPanel


@pytest.fixture
def panel(qapp: QApplication) -> Iterator[RunsPanel]:
    """The strip under a narrow chart, in large letters."""
    under = QWidget()
    under.setFont(QFont(qapp.font().family(), 16))
    strip = RunsPanel()
    QVBoxLayout(under).addWidget(strip)
    strip.show_calls(Calls(), upright=False, left_handed=False)
    strip.show()
    under.show()
    yield strip
    under.hide()
    under.deleteLater()


def test_buttons_are_never_narrower_than_their_words(panel: RunsPanel) -> None:
    """Where the chart leaves less room than the strip wants, the choosers give way, not the buttons."""
    layout = panel.layout()
    assert layout is not None
    least, wanted = layout.minimumSize().width(), layout.sizeHint().width()
    assert least < wanted
    for width in (least, (least + wanted) // 2, wanted):
        panel.setGeometry(0, 0, width, panel.height())
        layout.activate()
        for button in (panel.back, panel.step, panel.stop):
            assert button.width() >= button.sizeHint().width()
