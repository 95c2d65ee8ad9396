"""How the chart on the window looks: paper or colour, cleared or worked, the paper's picture or symbols."""

from stitchview.canvas.looks import Shown

_NEXT = {Shown.SYMBOLS: Shown.PICTURE, Shown.PICTURE: Shown.BOTH, Shown.BOTH: Shown.SYMBOLS}


class Looking:
    """The switches of one chart's look; whoever switches draws it afterwards.

    A chart with sheets that are not read yet shows their picture until something else is chosen.
    """

    def __init__(self, shown: Shown = Shown.SYMBOLS) -> None:
        self._paper = self._worked = False
        self._shown = shown

    @property
    def paper(self) -> bool:
        """Whether it looks as on paper."""
        return self._paper

    @property
    def worked(self) -> bool:
        """Whether done squares show as worked crosses."""
        return self._worked

    def switch_paper(self) -> None:
        """Look as on paper, or in colour."""
        self._paper = not self._paper

    def switch_worked(self) -> None:
        """Show done squares as worked crosses, or cleared."""
        self._worked = not self._worked

    @property
    def shown(self) -> Shown:
        """Whether the symbols show, the paper's picture, or both."""
        return self._shown

    def show_next(self) -> None:
        """Show the paper's picture instead of the symbols, then both, then the symbols again."""
        self._shown = _NEXT[self._shown]

    def restore(self, paper: bool, worked: bool, shown: Shown | None) -> None:
        """Look as it looked when the chart was closed."""
        self._paper, self._worked = paper, worked
        self._shown = self._shown if shown is None else shown
