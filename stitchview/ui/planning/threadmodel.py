"""The table of the need of thread, a row for each thread as it is bought."""

from collections.abc import Callable, Sequence

from PySide6.QtGui import QIcon

from stitchview.chart.problems import counted
from stitchview.chart.threadname import ThreadName
from stitchview.plan.interval import Interval
from stitchview.plan.need import ThreadNeed
from stitchview.plan.needreport import metres
from stitchview.plan.runout import RunOut
from stitchview.plan.stashwords import called
from stitchview.ui.planning.rowsmodel import NONE, Column, RowsModel


def span_words(span: Interval, amount: Callable[[float], str]) -> str:
    """A span with as few words as possible: "1.2 to 1.6", or one number where both ends round alike."""
    if span.high <= 0:
        return NONE
    low, high = amount(span.low), amount(span.high)
    return high if low == high else f"{low} to {high}"


def skeins(amount: float) -> str:
    """Skeins to the tenth."""
    return f"{amount:.1f}"


def _left(need: ThreadNeed) -> str:
    count = need.left.beads if need.is_bead else need.left.stitches
    return f"{count:,}" if count else "done" if need.all.stitches or need.all.beads else NONE


def _skeins(span: Interval, need: ThreadNeed) -> str:
    return NONE if need.is_bead else span_words(span, skeins)


COLUMNS: tuple[Column[ThreadNeed], ...] = (
    Column(
        "Thread",
        lambda need: called(need.thread),
        lambda need: 0,
        "As it is bought: blends are taken apart",
        right=False,
    ),
    Column("Left", _left, lambda need: need.left.stitches, "Stitches left, part stitches and lines too"),
    Column(
        "Metres left",
        lambda need: span_words(need.left.needle_m, metres),
        lambda need: need.left.needle_m.likely,
        "Thread in the needle for what is left, eight times in ten",
    ),
    Column(
        "Skeins: all",
        lambda need: _skeins(need.all.skeins, need),
        lambda need: need.all.skeins.likely,
        "Skeins for the whole chart, eight times in ten",
    ),
    Column(
        "done",
        lambda need: _skeins(need.done.skeins, need),
        lambda need: need.done.skeins.likely,
        "Skeins for what is done",
    ),
    Column(
        "left",
        lambda need: _skeins(need.left.skeins, need),
        lambda need: need.left.skeins.likely,
        "Skeins for what is left",
    ),
    Column(
        "To have",
        lambda need: NONE if need.is_bead else f"{need.buy_left}",
        lambda need: need.buy_left,
        "Whole skeins to have for what is left, with a margin",
    ),
)


class ThreadModel(RowsModel[ThreadNeed]):
    """Rows are threads in the order of the key; `icons` draws the patch of a thread."""

    def __init__(self, icons: Callable[[ThreadNeed], QIcon]) -> None:
        super().__init__(COLUMNS, icons)
        self._short: dict[ThreadName, RunOut] = {}

    def show_needs(self, needs: Sequence[ThreadNeed], short: Sequence[RunOut] = ()) -> None:
        """Show other needs, and which threads run short; the same threads stay where they are."""
        self._short = {each.need.thread.identity: each for each in short}
        self.put_rows(needs, [each.thread for each in needs] == [each.thread for each in self._rows])

    def words(self, column: Column[ThreadNeed], row: ThreadNeed) -> str:
        """The words of a cell; of a thread that runs short how much is to be bought."""
        short = self._short.get(row.thread.identity)
        return f"buy {short.buy}" if short is not None and column is COLUMNS[-1] else column.words(row)


def skein_words(need: ThreadNeed) -> str:
    """What one skein of a thread is taken to be."""
    return f"{need.skein.length_m:g} m of {counted(need.skein.strands, 'strand')}"
