"""Where to change to the next lot of a thread, from what she noted of her skeins."""

from dataclasses import dataclass

from stitchview.chart.area import Area
from stitchview.errors import CommandError
from stitchview.plan.lotchange import change_words, lot_change, next_rows
from stitchview.plan.runout import run_out
from stitchview.plan.threads import BoughtThread
from stitchview.plan.usednotes import holding_of
from stitchview.ui.planning.needbook import NeedBook
from stitchview.ui.planning.plantable import PlanTable

NOT_TOLD = (
    "Note on the page “Thread” how many skeins you have; then it is told here where a change shows least."
)
ENOUGH = "What you have is enough: one lot for all of it."
MOST_RIMS = 200


@dataclass(frozen=True, slots=True)
class Proposed:
    """What is said of the change, and the areas for the next lot: rows of torn patches, then patches."""

    words: str
    areas: tuple[Area, ...] = ()


def proposed_change(table: PlanTable, needs: NeedBook, thread: BoughtThread) -> Proposed:
    """Where to change, if what she has of a thread may not be enough for what is left."""
    desk = table.bench.desk
    try:
        need = needs.need.of_thread(thread.identity)
    except CommandError as error:
        return Proposed(str(error))
    holding = None if need is None else holding_of(need, desk.notes)
    if need is None or holding is None:
        return Proposed(NOT_TOLD)
    short = run_out(need, holding)
    if not short.is_short:
        return Proposed(ENOUGH)
    # Reckoned by the most she may use: a patch begun with a lot must be finished with it.
    room = int(need.left.stitches - short.uncovered.high)
    change = lot_change(desk.marks, thread.numbers, room)
    later = sorted(change.next, key=lambda patch: -len(patch.left))
    # Where a patch is torn its rows take turns, each rimmed by itself.
    areas = (*next_rows(change, desk.chart.columns), *(patch.area for patch in later))
    return Proposed(change_words(change), areas[:MOST_RIMS])
