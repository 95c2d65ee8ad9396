"""How the chart on the window looks: as on paper or in colour, done squares cleared or worked."""


class Looking:
    """The two switches of one chart's look; whoever switches draws it afterwards."""

    def __init__(self) -> None:
        self._paper = self._worked = False

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

    def restore(self, paper: bool, worked: bool) -> None:
        """Look as it looked when the chart was closed."""
        self._paper, self._worked = paper, worked
