"""How many threads of a piece wait to be bought: against her list, else by the skeins she noted."""

from stitchview.chart.model import Chart
from stitchview.done.marks import Marks
from stitchview.follow.clothpitch import Pitch
from stitchview.plan.manner import Manner
from stitchview.plan.need import need
from stitchview.plan.runout import run_outs
from stitchview.plan.stash import Stash
from stitchview.plan.stashreport import against_stash
from stitchview.plan.usednotes import supply_of


def threads_to_buy(chart: Chart, marks: Marks, pitch: Pitch, manner: Manner, stash: Stash | None) -> int:
    """For what is left of the chart; 0 where neither a list nor a noted skein tells what she has.

    Raises `CommandError` for cloth on which nobody can stitch. O(squares).
    """
    if stash is None and not marks.notes.skeins:
        return 0
    found = need(chart, marks, pitch, manner, supply_of(chart, marks.notes))
    if stash is None:
        return len(run_outs(found, marks.notes))
    needs = {each.thread.identity: each.left.skeins for each in found.threads if not each.is_bead}
    return len(against_stash([each.thread for each in found.threads], stash, needs).to_buy)
