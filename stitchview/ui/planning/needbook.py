"""The need of thread of the open piece, reckoned once for all pages and anew when something altered."""

from dataclasses import replace

from stitchview.chart.threadname import identity_of
from stitchview.done.skeinnotes import SkeinNote
from stitchview.plan.need import Need, Supply, ThreadNeed, need
from stitchview.plan.piece import manner_of
from stitchview.plan.runout import RunOut, run_outs
from stitchview.plan.usednotes import supply_of
from stitchview.ui.planning.plantable import PlanTable


class NeedBook:
    """Holds the need until marks, cloth, habits or what is known of skeins are others."""

    def __init__(self, table: PlanTable) -> None:
        self.table = table
        self._found: Need | None = None
        self._for: tuple[object, ...] = ()

    @property
    def need(self) -> Need:
        """The need as things are now; raises `CommandError` for cloth on which nobody can stitch."""
        bench = self.table.bench
        reserve = self.table.piece.reserve
        manner = manner_of(bench.piece.habits, reserve.strands, reserve.back_strands)
        pitch, supply = bench.piece.pitch, self.supply
        asked = (pitch, manner, supply)
        if self._found is None or asked != self._for:
            self._found = need(bench.desk.chart, bench.desk.marks, pitch, manner, supply)
            self._for = asked
        return self._found

    @property
    def supply(self) -> Supply:
        """What is known of skeins, of her use of thread, and what she wants to have to spare."""
        desk, reserve = self.table.bench.desk, self.table.piece.reserve
        book = self.table.bench.piece
        taught = Supply(stretches=book.lessons.stretches(book.count))
        return replace(supply_of(desk.chart, desk.notes, taught), margins=dict(reserve.shares))

    @property
    def run_outs(self) -> tuple[RunOut, ...]:
        """The threads that may run short, the surest first; raises `CommandError` as `need` does."""
        return run_outs(self.need, self.table.bench.desk.notes)

    def skein_notes(self, need: ThreadNeed) -> list[SkeinNote]:
        """What was noted of a thread's skeins."""
        notes = self.table.bench.desk.notes.skeins
        return [each for each in notes if identity_of(each.name, each.number) == need.thread.identity]

    def forget(self) -> None:
        """Reckon anew when it is asked for next, because marks or notes are others."""
        self._found = None
