"""Puts the planning window together."""

from PySide6.QtWidgets import QWidget

from stitchview.ui.planning.cardpage import CardPage
from stitchview.ui.planning.clothpage import ClothPage
from stitchview.ui.planning.lotspage import LotsPage
from stitchview.ui.planning.needbook import NeedBook
from stitchview.ui.planning.plantable import PlanTable
from stitchview.ui.planning.planwindow import PlanWindow
from stitchview.ui.planning.stashpage import StashPage
from stitchview.ui.planning.threadpage import ThreadPage


def plan_window(table: PlanTable, parent: QWidget) -> PlanWindow:
    """The window with all its pages, in the order of `PlanPlace`."""
    title = table.chart.title or "this chart"
    book = NeedBook(table)
    pages = (
        ClothPage(table),
        ThreadPage(table, book),
        LotsPage(table, book),
        StashPage(table, book),
        CardPage(table),
    )
    return PlanWindow(pages, title, book.forget, parent)
