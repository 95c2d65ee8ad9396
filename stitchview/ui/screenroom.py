"""How large a window beside the board may be and where it goes, so that all of it lies on her screen."""

from PySide6.QtCore import QPoint, QSize
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


def move_beside(dialog: QWidget, board: QWidget) -> None:
    """Put a dialog at the right edge of a board, so that the middle of the board stays in sight.

    It goes as far right as the screen has room, or the board's window where that is larger.
    """
    corner = board.mapToGlobal(board.rect().topRight())
    room = dialog.screen().availableGeometry().united(board.window().frameGeometry())
    rightmost = room.right() - dialog.width() - FRAME.width()
    dialog.move(max(room.left(), min(corner.x() - dialog.width() // 3, rightmost)), corner.y())


def move_within(dialog: QWidget, board: QWidget, corner: QPoint) -> None:
    """Put a dialog at a corner of a board, given within it, or as near as all of it is to be seen."""
    wished = board.mapToGlobal(corner)
    room = dialog.screen().availableGeometry().united(board.window().frameGeometry())
    last = room.bottomRight() - QPoint(dialog.width() + FRAME.width(), dialog.height() + FRAME.height())
    dialog.move(max(room.left(), min(wished.x(), last.x())), max(room.top(), min(wished.y(), last.y())))
