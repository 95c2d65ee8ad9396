"""Plots of the diary as they stand in its window: no menus of their own, in the colours of the theme."""

from typing import Any

import pyqtgraph  # type: ignore[import-untyped]
from PySide6.QtWidgets import QSizePolicy, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.ui.theme import Shades

LEAST_HEIGHT = 90


def bare_plot(words: str, parent: QWidget, axes: dict[str, Any] | None = None) -> Any:
    """A plot with words at its left, which takes the room there is and asks for none beyond it."""
    plot = pyqtgraph.PlotWidget(axisItems=axes or {})
    plot.setLabel("left", words)
    plot.setMouseEnabled(x=True, y=False)
    plot.hideButtons()
    plot.setMenuEnabled(False)
    # Its menu would be a window of its own, and outlive this one.
    menu = plot.getPlotItem().ctrlMenu
    menu.setParent(parent, menu.windowFlags())
    plot.setMinimumHeight(LEAST_HEIGHT)
    plot.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
    return plot


def dress(plot: Any, shades: Shades) -> None:
    """Clear a plot and put it in the colours of the theme."""
    plot.clear()
    plot.setBackground(as_qt(shades.base))
    for side in ("left", "bottom"):
        axis = plot.getAxis(side)
        axis.setPen(as_qt(shades.edge))
        axis.setTextPen(as_qt(shades.text))
