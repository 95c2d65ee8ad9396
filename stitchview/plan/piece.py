"""What she has settled for one piece: its cloth, what becomes of it, and how she works on it."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from stitchview.chart.model import Cloth
from stitchview.errors import CommandError
from stitchview.follow.habits import Habits, habits_read, habits_written
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.clothmeasure import Measured, MeasuredCloth
from stitchview.plan.clothreport import SizeWish
from stitchview.plan.clothsize import USUAL_MARGINS, Making, Margin, Opening
from stitchview.plan.manner import Manner
from stitchview.plan.reserve import Reserve, reserve_read, reserve_written

PIECE = "piece"
"""The member of the kept place under which all of it stands."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What is None is not settled: the cloth is then the chart's, the habits are as usual.

    `counted` is what she counted on the cloth, from which `count` was taken over if she did so.
    """

    count: ClothCount | None = None
    counted: MeasuredCloth | None = None
    making: Making = Making.FRAME
    margin: Margin = USUAL_MARGINS[Making.FRAME]
    opening: Opening | None = None
    habits: Habits | None = None
    reserve: Reserve = Reserve()  # noqa: RUF009 (frozen, so one default can be shared)

    def count_on(self, cloth: Cloth | None) -> ClothCount:
        """The count to reckon with: hers, else the chart's if it makes sense, else 14 to the inch."""
        return self.count or suggested_count(cloth)

    def wish_on(self, cloth: Cloth | None) -> SizeWish:
        """What is asked of size and cloth."""
        return SizeWish(self.count_on(cloth), self.making, self.margin, self.opening)


def manner_of(habits: Habits, strands: int | None = None, back_strands: int | None = None) -> Manner:
    """Her habits as the need of thread is reckoned with them; raises `CommandError` for absurd strands."""
    return Manner(
        working=habits.working,
        strands=strands,
        back_strands=back_strands,
        length_mm=habits.length_mm,
        start_tail_mm=habits.start_tail_mm,
        end_tail_mm=habits.end_tail_mm,
        carry_mm=habits.carry_mm,
    )


def suggested_count(cloth: Cloth | None) -> ClothCount:
    """The count that a chart suggests; 14 to the inch, which is common practice, where it says nothing."""
    if cloth is not None:
        try:
            return ClothCount.of_cloth(cloth)
        except CommandError:
            # A chart may suggest what no cloth has; it is no fault of hers.
            return ClothCount()
    return ClothCount()


def piece_written(piece: Piece) -> dict[str, Any]:
    """The piece as a JSON object."""
    counted = piece.counted
    return {
        "cloth": piece.count and asdict(piece.count),
        "counted": counted and {"across": asdict(counted.across), "down": asdict(counted.down)},
        "making": piece.making.value,
        "margin": asdict(piece.margin),
        "opening": piece.opening and asdict(piece.opening),
        "habits": piece.habits and habits_written(piece.habits),
        "reserve": reserve_written(piece.reserve),
    }


def piece_read(record: Mapping[str, Any]) -> Piece:
    """The piece that was written down; whatever in it makes no sense is not settled."""
    making = record.get("making")
    found = Making(making) if making in tuple(Making) else Making.FRAME
    habits = record.get("habits")
    counted = _members(record, "counted")
    ways = _measured(_members(counted, "across")), _measured(_members(counted, "down"))
    return Piece(
        _count(_members(record, "cloth")),
        MeasuredCloth(ways[0], ways[1]) if ways[0] is not None and ways[1] is not None else None,
        found,
        _margin(_members(record, "margin")) or USUAL_MARGINS[found],
        _opening(_members(record, "opening")),
        habits_read(habits) if isinstance(habits, dict) else None,
        reserve_read(_members(record, "reserve")),
    )


def _count(record: Mapping[str, Any]) -> ClothCount | None:
    across, down, over = (_number(record.get(name)) for name in ("across", "down", "over"))
    per_100_mm = record.get("per_100_mm")
    if across is None or down is None or over is None or not isinstance(per_100_mm, bool):
        return None
    try:
        return ClothCount(across, down, per_100_mm, int(over))
    except CommandError:
        return None


def _measured(record: Mapping[str, Any]) -> Measured | None:
    threads, over_mm = record.get("threads"), _number(record.get("over_mm"))
    if not isinstance(threads, Sequence) or over_mm is None:
        return None
    counts = tuple(count for each in threads[:100] if (count := _number(each)) is not None)
    try:
        return Measured(counts, over_mm)
    except CommandError:
        return None


def _margin(record: Mapping[str, Any]) -> Margin | None:
    bare, hem = _number(record.get("bare_mm")), _number(record.get("hem_mm"))
    if bare is None or hem is None:
        return None
    try:
        return Margin(bare, hem)
    except CommandError:
        return None


def _opening(record: Mapping[str, Any]) -> Opening | None:
    width, height = _number(record.get("width_mm")), _number(record.get("height_mm"))
    if width is None or height is None:
        return None
    try:
        return Opening(width, height)
    except CommandError:
        return None


def _members(record: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    found = record.get(name)
    return found if isinstance(found, dict) else {}


def _number(value: object) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    # Comparing comes before converting: a whole number may be too long for a float.
    return float(value) if abs(value) < 1e9 else None
