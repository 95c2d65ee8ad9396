"""Recorded differences in words: what is otherwise on the cloth, and where."""

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, OwnEntry
from stitchview.done.differences import Added, Difference, NotWorked, OtherThread, Shifted
from stitchview.done.leftout import CROSSES, LINES, POINTS
from stitchview.done.loom import Effect
from stitchview.done.notebook import Notes
from stitchview.follow.areawords import area_words
from stitchview.follow.numbering import Numbering
from stitchview.follow.place import thread_words

SORT_WORDS = {CROSSES: "crosses", LINES: "back stitch", POINTS: "knots and beads"}


def difference_words(chart: Chart, difference: Difference, numbering: Numbering) -> str:
    """A difference with the area it is about, such as "1 column left (columns 3 to 12, rows 5)"."""
    return f"{kind_words(chart, difference)} ({area_words(chart, difference.area, numbering)})"


def kind_words(chart: Chart, difference: Difference) -> str:
    """What is otherwise, without where."""
    match difference:
        case Shifted():
            return f"Block lies {shift_words(difference.across, difference.down)}"
        case OtherThread():
            was = f" for {_thread(chart, difference.was)}" if difference.was else ""
            return f"{_thread(chart, difference.code)} used{was}{_of_sort(difference.sort)}"
        case NotWorked():
            what = _thread(chart, difference.code) if difference.code else "Stitches"
            return f"{what} left out{_of_sort(difference.sort)}"
        case Added():
            return f"{_thread(chart, difference.code)} added"


def differences_at(notes: Notes, square: tuple[int, int]) -> tuple[Difference, ...]:
    """The differences that a square is of, where it is printed or where it lies."""
    return tuple(each for each in notes.differences if any(area.holds(*square) for area in each.touched))


def place_words(chart: Chart, notes: Notes, square: tuple[int, int]) -> str:
    """How the cloth differs at a square, short; no words where it does not."""
    told = (kind_words(chart, each) for each in differences_at(notes, square))
    return "; ".join(f"{words[:1].lower()}{words[1:]}" for words in told)


def shift_words(across: int, down: int) -> str:
    """How far a block lies off, such as "1 column left, 2 rows up"."""
    told = []
    if across:
        told.append(f"{_many(abs(across), 'column')} {'right' if across > 0 else 'left'}")
    if down:
        told.append(f"{_many(abs(down), 'row')} {'down' if down > 0 else 'up'}")
    return ", ".join(told)


def effect_words(difference: Difference, effect: Effect) -> str:
    """What keeping a difference would come to, as the question before it tells."""
    if isinstance(difference, NotWorked):
        return f"{_many(effect.lost, 'stitch')} would be left out."
    if isinstance(difference, Added):
        return f"{_many(effect.altered, 'stitch')} would be added, and count as done."
    if isinstance(difference, OtherThread):
        return f"{_many(effect.altered, 'stitch')} would be of the other thread."
    told = f"{_many(effect.altered, 'stitch')} would lie {shift_words(difference.across, difference.down)}"
    lost = f"; {_many(effect.lost, 'stitch')} under them would be left out" if effect.lost else ""
    return f"{told}{lost}."


def first_area(difference: Difference) -> Area:
    """Where to look for it: where its stitches lie on the cloth."""
    return difference.target if isinstance(difference, Shifted) else difference.area


def _many(count: int, one: str) -> str:
    plural = "es" if one.endswith("ch") else "s"
    return f"{count:,} {one}{'' if count == 1 else plural}"


def _thread(chart: Chart, code: str) -> str:
    entry = next((entry for entry in chart.key if entry.code == code), None)
    if isinstance(entry, OwnEntry):
        # What it stands for is told by the difference itself.
        number = f" ({entry.number})" if entry.name and entry.number else ""
        lot = f", lot {entry.lot}," if entry.lot else ""
        return f"{entry.name or entry.number}{number}{lot}"
    return thread_words(entry) if entry else f"Thread of symbol {code}"


def _of_sort(sort: str) -> str:
    return f", {SORT_WORDS[sort]} only" if sort else ""
