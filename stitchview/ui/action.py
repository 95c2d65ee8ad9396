"""What an action is: its words and keys, what it needs, and what it does; no widget knows of it here."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from stitchview.ui.needs import Needs
from stitchview.ui.works import ChartWorks, WindowWorks


class Menu(StrEnum):
    """The menus, in their order; the values are their names."""

    CHART = "Chart"
    VIEW = "View"
    BAND = "Band"
    MARKS = "Marks"
    THREAD = "Thread"
    NEXT = "Next"
    CLOTH = "Cloth"
    PLAN = "Plan"
    HELP = "Help"


AtChart = Callable[[ChartWorks], object]
AtWindow = Callable[[WindowWorks], object]


@dataclass(frozen=True, slots=True)
class Action:
    """One thing a person can ask for.

    `keys` are written as Qt writes them portably ("Ctrl+Z"). `on_canvas` keys work only while the
    chart has the keyboard, because lists and buttons need them too. Exactly one of `at_chart` and
    `at_window` is given; `is_on`, if given, makes it a switch. Those of one `choice` exclude each other.
    Those of one `family` stand in one line of the help, under that name.
    """

    name: str
    text: str
    tip: str
    menu: Menu
    keys: tuple[str, ...] = ()
    icon: str = ""
    needs: Needs = Needs.CHART
    at_chart: AtChart | None = None
    at_window: AtWindow | None = None
    is_on: Callable[[ChartWorks], bool] | None = None
    is_on_window: Callable[[WindowWorks], bool] | None = None
    choice: str = ""
    family: str = ""
    on_canvas: bool = False
    in_menu: bool = True
    repeats: bool = False

    def __post_init__(self) -> None:
        if (self.at_chart is None) == (self.at_window is None):
            raise ValueError(f"{self.name} is done either at the chart or at the window")
        if self.at_chart is not None and self.needs is Needs.NOTHING:
            raise ValueError(f"{self.name} is done at a chart, so it needs one")

    @property
    def checkable(self) -> bool:
        """Whether it is switched on and off."""
        return self.is_on is not None or self.is_on_window is not None


def is_single_character(key: str) -> bool:
    """Whether a key is one character by itself, with or without Shift (WCAG 2.2, 2.1.4)."""
    return len(key.removeprefix("Shift+")) == 1
