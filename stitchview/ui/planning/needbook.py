"""The need of thread of the open piece, reckoned once for all pages and anew when something altered."""

from stitchview.chart.model import KeyEntry
from stitchview.plan.need import Need, Supply, need
from stitchview.plan.piece import manner_of
from stitchview.ui.planning.plantable import PlanTable


class NeedBook:
    """Holds the need until marks, cloth, habits or what is known of skeins are others."""

    def __init__(self, table: PlanTable) -> None:
        self._table = table
        self._found: Need | None = None
        self._for: tuple[object, ...] = ()

    @property
    def need(self) -> Need:
        """The need as things are now; raises `CommandError` for cloth on which nobody can stitch."""
        bench = self._table.bench
        pitch, manner, supply = bench.piece.pitch, manner_of(bench.piece.habits), self.supply
        asked = (pitch, manner, supply)
        if self._found is None or asked != self._for:
            self._found = need(bench.desk.chart, bench.desk.marks, pitch, manner, supply)
            self._for = asked
        return self._found

    @property
    def supply(self) -> Supply:
        """What is known of skeins and of her use of thread."""
        return Supply()

    def entry_of(self, number: int) -> KeyEntry:
        """A key entry by its number, from 1."""
        return self._table.chart.key[number - 1]

    def forget(self) -> None:
        """Reckon anew when it is asked for next, because marks or notes are others."""
        self._found = None
