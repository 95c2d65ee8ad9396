"""Where a count on the cloth departs from the chart, in words and as members for programs."""

from dataclasses import dataclass
from typing import Any

from stitchview.chart.model import Chart
from stitchview.chart.problems import counted
from stitchview.follow.countoff import Axis, CountedLine, CountOff, Departure, Split
from stitchview.follow.numbering import Numbering, number_of

NOTHING_COUNTED = "Nothing is counted yet."
AGREES = "Every count agrees with the chart."
ADVICE = (
    "Go there and look. There are two honest ways out: unpick back to it, or keep it as it is and note the"
    " difference."
)
_WAYS = {Axis.COLUMNS: ("left", "right"), Axis.ROWS: ("up", "down")}


@dataclass(frozen=True, eq=False, slots=True)
class CountWords:
    """Says it with the numbers that she counts on this chart."""

    chart: Chart
    numbering: Numbering

    def number(self, axis: Axis, line: int) -> int:
        """The number of a column or row."""
        if axis is Axis.COLUMNS:
            return number_of(line, self.chart.columns, self.numbering.across)
        return number_of(line, self.chart.rows, self.numbering.down)

    def line(self, axis: Axis, line: int) -> str:
        """A column or row: "column 120"."""
        return f"{axis.one} {self.number(axis, line):,}"

    def count(self, count: CountedLine) -> str:
        """What was counted: "Column 120 lies at 121 along row 40"."""
        told = f"{self.line(count.axis, count.line)} lies at {self.number(count.axis, count.cloth):,}"
        off = f" ({_off(count.axis, count.shift)})" if count.shift else ""
        return f"{told[:1].upper()}{told[1:]}{self._along(count.axis, count.along)}{off}"

    def departure(self, departure: Departure) -> str:
        """Between which lines, by how much, and what that means for all that follows."""
        axis, along = departure.axis, self._along(departure.axis, departure.along)
        sides = counted(abs(departure.by), axis.one)
        many = "too many" if departure.outwards else "too few"
        told = [f"{self._between(departure)}{along} the cloth has {sides} {many}."]
        far = self.line(axis, departure.far)
        if departure.total:
            lies = f"{far[:1].upper()}{far[1:]} lies {_off(axis, departure.total)} of its place"
            told.append(f"{lies}{self._reach(departure)}.")
        else:
            told.append(f"From {far} on all is in its place again.")
        closer = self._closer(departure)
        return " ".join((*told, closer)).strip()

    def split(self, split: Split) -> str:
        """A line that lies at another place along another row."""
        axis, other = split.before.axis, split.before.axis.other
        ends = [
            f"along {self.line(other, each.along or 0)} it {self._lies(each)}"
            for each in (split.before, split.after)
        ]
        line = self.line(axis, split.before.line)
        first, last = split.before.along or 0, split.after.along or 0
        middle = (first + last) // 2
        closer = f" To find it closer, count along {self.line(other, middle)}." if last - first > 1 else ""
        numbers = f"{self.number(other, first):,} and {self.number(other, last):,}"
        lead = f"Between {other} {numbers} {line} goes {_off(axis, split.by)}"
        return f"{lead}: {ends[0]}, {ends[1]}.{closer}"

    def lines(self, found: CountOff) -> list[str]:
        """All of it, a line for each thing found; that every count agrees if nothing is."""
        if found.agrees:
            return [AGREES]
        return [*map(self.departure, found.departures), *map(self.split, found.splits), ADVICE]

    def members(self, found: CountOff) -> dict[str, Any]:
        """All of it as one JSON object; lines by her numbers, squares right or down above 0."""
        return {
            "agrees": found.agrees,
            "departures": [self._departure_members(each) for each in found.departures],
            "splits": [self._split_members(each) for each in found.splits],
        }

    def _departure_members(self, each: Departure) -> dict[str, Any]:
        return {
            "of": each.axis.value,
            "after": None if each.near is None else self.number(each.axis, each.near),
            "up_to": self.number(each.axis, each.far),
            "last": self.number(each.axis, each.last),
            "by": each.by,
            "in_all": each.total,
            "along": None if each.along is None else self.number(each.axis.other, each.along),
        }

    def _split_members(self, each: Split) -> dict[str, Any]:
        other = each.before.axis.other
        along = [self.number(other, count.along or 0) for count in (each.before, each.after)]
        line = self.number(each.before.axis, each.before.line)
        return {"of": each.before.axis.value, "line": line, "between": along, "by": each.by}

    def _between(self, departure: Departure) -> str:
        axis, far = departure.axis, f"{self.number(departure.axis, departure.far):,}"
        if departure.near is None:
            return f"Between where counting begins and {axis.one} {far}"
        right = "Right between" if abs(departure.far - departure.near) == 1 else "Between"
        return f"{right} {axis} {self.number(axis, departure.near):,} and {far}"

    def _closer(self, departure: Departure) -> str:
        near, far = departure.near, departure.far
        if near is None or abs(far - near) < 2:
            return ""
        return f"To find it closer, count {self.line(departure.axis, (near + far) // 2)}."

    def _reach(self, departure: Departure) -> str:
        if departure.last == departure.far:
            return ""
        last = self.line(departure.axis, departure.last)
        return f", and so does all up to {last} as far as was counted"

    def _lies(self, count: CountedLine) -> str:
        if not count.shift:
            return "is in its place"
        return f"lies {_off(count.axis, count.shift)}"

    def _along(self, axis: Axis, along: int | None) -> str:
        return "" if along is None else f" along {self.line(axis.other, along)}"


def _off(axis: Axis, by: int) -> str:
    """So far and which way: "2 columns left"."""
    return f"{counted(abs(by), axis.one)} {_WAYS[axis][by > 0]}"
