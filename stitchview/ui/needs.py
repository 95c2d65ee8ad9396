"""What must be there before an action makes sense."""

from enum import Enum, auto


class Needs(Enum):
    """What an action needs."""

    NOTHING = auto()
    CHART = auto()
    BAND = auto()
    THREAD = auto()
    THREAD_AND_BAND = auto()
    UNDO = auto()
    REDO = auto()
    LAST_MARKS = auto()
    RUNS = auto()
    PICTURE = auto()
    TURNED = auto()
