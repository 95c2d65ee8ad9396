"""How large a window beside the board may be, so that all of it lies on her screen."""

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

FRAME = QSize(16, 48)
"""What the frame around a window takes at most of the screen: its borders, and the bar with the title."""


def open_at(window: QWidget, usual: QSize) -> None:
    """Give a window its usual size, or what the screen has room for where that is less.

    Over a board larger than the screen (as without one) it may be as large as that board.
    """
    room = window.screen().availableSize() - FRAME
    under = window.parentWidget()
    if under is not None:
        room = room.expandedTo(under.window().size())
    window.resize(usual.boundedTo(room))
