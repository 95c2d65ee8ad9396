"""In which order lines and stitches are worked on a chart that is seen turned, by either hand."""

from dataclasses import dataclass

from stitchview.chart.turning import UPRIGHT, Turn


@dataclass(frozen=True, slots=True)
class Course:
    """Lines that are columns of the chart when `down`, else rows.

    `from_last` begins with the last line, `against` works each line from its last square on.
    """

    down: bool = False
    from_last: bool = False
    against: bool = False


def course_seen(down: bool, turn: Turn = UPRIGHT, left_handed: bool = False) -> Course:
    """How the lines are worked so that it looks as usual on the turned chart.

    As one sees it lines go rightwards, or downwards where they stand upright, and the next line lies
    below, or to the right. The left hand works the mirror image of that (common practice).
    """
    along, on = ((0, 1), (1, 0)) if down else ((1, 0), (0, 1))
    return Course(down, _away(on, turn, left_handed), _away(along, turn, left_handed))


def _away(step: tuple[int, int], turn: Turn, left_handed: bool) -> bool:
    """Whether a step of the chart is seen to go upwards, or to the left (for a left hand to the right)."""
    across, down = turn.step(*step)
    return down < 0 or (across > 0 if left_handed else across < 0)
