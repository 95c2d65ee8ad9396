"""Puts the planning window together."""

from PySide6.QtWidgets import QWidget

from stitchview.ui.planning.clothpage import ClothPage
from stitchview.ui.planning.plantable import PlanTable
from stitchview.ui.planning.planwindow import PlanWindow


def plan_window(table: PlanTable, parent: QWidget) -> PlanWindow:
    """The window with all its pages, in the order of `PlanPlace`."""
    title = table.chart.title or "this chart"
    return PlanWindow([ClothPage(table)], title, parent)
