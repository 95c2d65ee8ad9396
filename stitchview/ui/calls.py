"""How runs are called out and what is listed, as it is chosen and kept from evening to evening."""

from dataclasses import dataclass

from stitchview.follow.runs import Going
from stitchview.ui.asidepanel import Aside
from stitchview.ui.pointer import Square


@dataclass(frozen=True, slots=True)
class Calls:
    """What is kept of calling out: whether it is on, how lines go, all threads or one, the run's square."""

    on: bool = False
    going: Going = Going.ON
    all_threads: bool = False
    at: Square | None = None


@dataclass(frozen=True, slots=True)
class Follow:
    """What is shown of where to go next: what is called out, and what is listed beside the chart."""

    calls: Calls = Calls()
    aside: Aside = Aside.NEAREST
    listed: bool = False
