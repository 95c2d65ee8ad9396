"""The actions that go to what is left, call runs out, and show islands and blocks."""

from stitchview.ui.action import Action, Menu
from stitchview.ui.needs import Needs

FOLLOW_ACTIONS = (
    Action(
        "nearest-left",
        "Nearest stitch of the thread in hand",
        "Go to what is left of the thread in hand nearest to the pointer, measured on the cloth",
        Menu.NEXT,
        ("G",),
        needs=Needs.THREAD,
        at_chart=lambda chart: chart.following.nearest_left(),
    ),
    Action(
        "next-left",
        "Next stitch of the thread in hand",
        "Go to the next square with something left of the thread in hand, as one reads",
        Menu.NEXT,
        (".",),
        needs=Needs.THREAD,
        at_chart=lambda chart: chart.following.next_left(),
        repeats=True,
    ),
    Action(
        "previous-left",
        "Stitch before of the thread in hand",
        "Go to the square before with something left of the thread in hand",
        Menu.NEXT,
        (",",),
        needs=Needs.THREAD,
        at_chart=lambda chart: chart.following.previous_left(),
        repeats=True,
    ),
    Action(
        "next-block",
        "Nearest block with work",
        "Go to the nearest other block of ten by ten in which anything is left",
        Menu.NEXT,
        ("J",),
        at_chart=lambda chart: chart.following.next_block(False),
    ),
    Action(
        "next-block-of-thread",
        "Nearest block of the thread in hand",
        "Go to the nearest other block of ten by ten in which the thread in hand is left",
        Menu.NEXT,
        ("Shift+J",),
        needs=Needs.THREAD,
        at_chart=lambda chart: chart.following.next_block(True),
    ),
)
