"""How runs are called out, as it is chosen and kept from evening to evening."""

from dataclasses import dataclass

from stitchview.follow.runs import Going
from stitchview.ui.pointer import Square


@dataclass(frozen=True, slots=True)
class Calls:
    """What is kept of calling out: whether it is on, how lines go, all threads or one, the run's square."""

    on: bool = False
    going: Going = Going.ON
    all_threads: bool = False
    at: Square | None = None
