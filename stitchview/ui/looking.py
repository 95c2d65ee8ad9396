"""How the chart on the window looks: paper or colour, cleared or worked, picture or symbols, and turned."""

from stitchview.canvas.looks import Shown
from stitchview.chart.turning import UPRIGHT, Turn
from stitchview.follow.course import Course, course_seen

_NEXT = {Shown.SYMBOLS: Shown.PICTURE, Shown.PICTURE: Shown.BOTH, Shown.BOTH: Shown.SYMBOLS}


class Looking:
    """The switches of one chart's look; whoever switches draws it afterwards.

    A chart with sheets that are not read yet shows their picture until something else is chosen.
    """

    def __init__(self, shown: Shown = Shown.SYMBOLS) -> None:
        self._paper = self._worked = False
        self._shown = shown
        self.turn = UPRIGHT
        """How the chart is seen turned; its file and its marks stay as they are."""
        self.left_handed = False
        """Whether she works from the right, as the left hand does."""

    def course(self, down: bool) -> Course:
        """In which order rows are worked as she sees them, or columns when `down`."""
        return course_seen(down, self.turn, self.left_handed)

    def turn_by(self, turn: Turn | None) -> None:
        """See the chart turned further, as it lies now, or upright again for None."""
        self.turn = self.turn.then(turn) if turn is not None else UPRIGHT

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

    def restore(self, paper: bool, worked: bool, shown: Shown | None, turn: Turn) -> None:
        """Look as it looked when the chart was closed."""
        self.turn = turn
        self._paper, self._worked = paper, worked
        self._shown = self._shown if shown is None else shown
