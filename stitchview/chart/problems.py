"""What is wrong with a chart file: every problem with its place, and the error that carries them."""

from dataclasses import dataclass

from stitchview.errors import ChartError

MOST_LISTED = 100


def counted(count: int, one: str) -> str:
    """A number of things in words: 1 square, 249 squares."""
    return f"{count:,} {one if count == 1 else f'{one}s'}"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with a chart.

    `what` is a clause that names the place ("row 17 has 249 squares, the chart has 250 columns"),
    `entry` the part of the file it stands in ("squares.txt", or "" for the file itself), `remedy`
    a sentence that says what to do. `str()` gives the sentence without the remedy.
    """

    what: str
    entry: str = ""
    remedy: str = ""

    def __str__(self) -> str:
        return f"{self.entry}: {self.what}." if self.entry else f"It {self.what}."


class FaultyChart(ChartError):
    """A chart cannot be read or written as it stands; `problems` says all that is wrong with it.

    `what` names the file and its first problem, and how many more there are.
    """

    def __init__(self, name: str, problems: tuple[Problem, ...], unlisted: int = 0) -> None:
        self.problems = problems
        first = problems[0]
        place = f"“{name}”, {first.entry}: " if first.entry else f"“{name}” "
        more = len(problems) - 1 + unlisted
        rest = {0: "", 1: " There is one more problem."}.get(more, f" There are {more} more problems.")
        super().__init__(f"{place}{first.what}.{rest}", first.remedy)


class Findings:
    """The problems found so far in the file called `name`; past the first hundred they are only counted."""

    def __init__(self, name: str) -> None:
        self.name = name
        self._problems: list[Problem] = []
        self._unlisted = 0

    def __len__(self) -> int:
        return len(self._problems) + self._unlisted

    def add(self, what: str, entry: str = "", remedy: str = "") -> None:
        """Note one problem and go on looking."""
        if len(self._problems) < MOST_LISTED:
            self._problems.append(Problem(what, entry, remedy))
        else:
            self._unlisted += 1

    def stop(self, what: str, entry: str = "", remedy: str = "") -> FaultyChart:
        """Note a problem past which nothing can be read; gives the error to raise."""
        self.add(what, entry, remedy)
        return self.error()

    def error(self) -> FaultyChart:
        """The error that carries everything found; at least one problem must have been."""
        return FaultyChart(self.name, tuple(self._problems), self._unlisted)
