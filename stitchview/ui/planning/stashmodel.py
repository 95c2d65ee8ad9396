"""The table of a chart against her stash, a row for each thread."""

from collections.abc import Callable, Sequence

from PySide6.QtGui import QIcon

from stitchview.plan.stashreport import Standing, Verdict
from stitchview.plan.stashwords import called, need_words, skeins_words
from stitchview.ui.planning.rowsmodel import NONE, Column, RowsModel

VERDICT_WORDS = {each: each.value for each in Verdict} | {Verdict.HAVE: "enough", Verdict.OPEN: NONE}
_URGENT = (Verdict.BUY, Verdict.SHORT, Verdict.PROBABLY, Verdict.HAVE, Verdict.OPEN)


COLUMNS: tuple[Column[Standing], ...] = (
    Column("Thread", lambda each: called(each.thread), lambda each: 0, right=False),
    Column(
        "Verdict",
        lambda each: VERDICT_WORDS[each.verdict],
        lambda each: _URGENT.index(each.verdict),
        right=False,
    ),
    Column(
        "Needs",
        lambda each: NONE if each.need is None else need_words(each.need),
        lambda each: -1.0 if each.need is None else each.need.high,
    ),
    Column(
        "You have", lambda each: skeins_words(each.skeins) if each.owned else NONE, lambda each: each.skeins
    ),
    Column("Buy", lambda each: f"{each.buy}" if each.buy else NONE, lambda each: each.buy),
)


class StashModel(RowsModel[Standing]):
    """Rows are the threads of the chart; `icons` draws the patch of one."""

    def __init__(self, icons: Callable[[Standing], QIcon]) -> None:
        super().__init__(COLUMNS, icons)

    def show_standings(self, standings: Sequence[Standing]) -> None:
        """Show other rows."""
        if tuple(standings) != self._rows:
            self.put_rows(standings)
