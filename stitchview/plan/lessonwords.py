"""What finished pieces teach, in words, each time with the piece it comes from."""

from typing import TYPE_CHECKING, Any

from stitchview.chart.model import Chart
from stitchview.plan.cameout import expected_size
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.clothsize import Size
from stitchview.plan.finishedpieces import FinishedPiece
from stitchview.plan.lessons import Lessons, from_words

if TYPE_CHECKING:
    from stitchview.plan.need import Need, ThreadNeed


def lines_about(piece: FinishedPiece, number: int) -> list[str]:
    """One finished piece in the list of them."""
    refused = "" if piece.taken else " (refused)"
    return [f"{number}. {piece.from_words}{refused}", *(f"   {each}" for each in taught_by(piece))]


def taught_by(piece: FinishedPiece) -> list[str]:
    """What one finished piece teaches."""
    told = []
    if piece.ratios is not None:
        told.append(f"Came out {_percent(piece.ratios[0])} across and {_percent(piece.ratios[1])} down.")
    kinds: dict[str, tuple[float, float]] = {}
    for each in piece.threads:
        reckoned, used = kinds.get(each.kind, (0.0, 0.0))
        kinds[each.kind] = reckoned + each.reckoned_mm, used + each.used_mm
    told += [
        f"Thread, {kind or 'of no kind told'}: {used / reckoned:.2f} of geometry."
        for kind, (reckoned, used) in kinds.items()
        if reckoned > 0
    ]
    if piece.rate:
        told.append(f"{piece.rate:,.0f} stitches an hour.")
    return told or ["It teaches nothing: neither size, nor thread used, nor hours are told."]


def expected_words(chart: Chart, count: ClothCount, lessons: Lessons) -> str:
    """How large a chart is likely to come out on this cloth; "" where nothing was learnt."""
    lesson = lessons.size(count)
    if lesson is None:
        return ""
    size: Size = expected_size(chart.columns, chart.rows, count, lesson.ratios)
    return f"{size.words}, {from_words(lesson.pieces)}"


def expected_members(chart: Chart, count: ClothCount, lessons: Lessons) -> dict[str, Any] | None:
    """The same as members for programs, in millimetres; None where nothing was learnt."""
    lesson = lessons.size(count)
    if lesson is None:
        return None
    size = expected_size(chart.columns, chart.rows, count, lesson.ratios)
    return {
        "width_mm": size.width_mm,
        "height_mm": size.height_mm,
        "from": [each.from_words for each in lesson.pieces],
    }


def use_words(need: "ThreadNeed", lessons: Lessons) -> str:
    """Where her use of a thread was learnt besides this piece; "" where nowhere."""
    return from_words(lessons.taught_thread(need.thread.kind))


def learnt_lines(need: "Need", lessons: Lessons) -> list[str]:
    """For each kind of thread, where her use of it was learnt besides this piece."""
    kinds = dict.fromkeys(each.thread.kind for each in need.threads if not each.is_bead)
    taught = {kind: lessons.taught_thread(kind) for kind in kinds}
    return [
        f"Your use of {kind or 'thread of no kind told'} is also learnt {from_words(pieces)}."
        for kind, pieces in taught.items()
        if pieces
    ]


def rate_words(left: float, count: ClothCount, lessons: Lessons) -> str:
    """How long what is left takes at the rate of finished pieces; "" where none tells."""
    lesson = lessons.rate(count)
    if lesson is None or left <= 0:
        return ""
    hours = lesson.hours_for(left)
    time = f"{hours:,.0f} hours" if hours >= 10 else f"{hours:.1f} hours"
    rate = f"{lesson.rate:,.0f} stitches an hour"
    return f"What is left takes about {time} at {rate}, {from_words(lesson.pieces)}."


def _percent(ratio: float) -> str:
    if abs(ratio - 1) < 0.0005:
        return "as foretold"
    return f"{abs(ratio - 1) * 100:.1f} % {'larger' if ratio > 1 else 'smaller'}"
