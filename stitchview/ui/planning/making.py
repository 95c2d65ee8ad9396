"""Puts the planning window together."""

from PySide6.QtWidgets import QWidget

from stitchview.ui.planning.cardpage import CardPage
from stitchview.ui.planning.clothpage import ClothPage
from stitchview.ui.planning.lotspage import LotsPage
from stitchview.ui.planning.needbook import NeedBook
from stitchview.ui.planning.planwindow import PlanWindow
from stitchview.ui.planning.stashpage import StashPage
from stitchview.ui.planning.threadpage import ThreadPage


def plan_window(book: NeedBook, parent: QWidget) -> PlanWindow:
    """The window with all its pages, in the order of `PlanPlace`."""
    table = book.table
    title = table.chart.title or "this chart"
    pages = (
        ClothPage(table),
        ThreadPage(table, book),
        LotsPage(table, book),
        StashPage(table, book),
        CardPage(table),
    )
    return PlanWindow(pages, title, book.forget, parent)
