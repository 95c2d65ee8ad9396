"""What to do first, for a key whose action lacks something: a key that says nothing seems broken."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from PySide6.QtGui import QAction, QKeyEvent, QKeySequence

from stitchview.ui.menus import Command
from stitchview.ui.needs import Needs

FIRST: Mapping[Needs, str] = MappingProxyType(
    {
        Needs.THREAD: "Take a thread in hand first: K over one of its squares, or choose it in the key.",
        Needs.BAND: "Lay a band first: B for rows, V for columns, F for a frame.",
        Needs.THREAD_AND_BAND: "Take a thread in hand (K) and lay a band (B) first.",
        Needs.UNDO: "There is nothing to undo.",
        Needs.REDO: "There is nothing to redo.",
        Needs.LAST_MARKS: "Nothing is marked yet.",
        Needs.RUNS: "Have runs called out first: C.",
        Needs.PICTURE: "This chart has no picture of its paper.",
        Needs.TURNED: "The chart is upright already.",
    }
)


def unmet_words(actions: Iterable[QAction], event: QKeyEvent) -> str:
    """What is lacking for the action that this key belongs to; "" where nothing is."""
    pressed = QKeySequence(event.keyCombination())
    for each in actions:
        if isinstance(each, Command) and not each.isEnabled() and pressed in each.shortcuts():
            return FIRST.get(each.action.needs, "")
    return ""
