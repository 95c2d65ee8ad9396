"""One member of many JSON objects at once, as a checked column: half a million stitches load in seconds."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.containers.entrynames import CHART_ENTRY
from stitchview.chart.entries.members import Members, is_number, shown
from stitchview.chart.limits import MOST_STITCHES
from stitchview.chart.problems import Findings

Places = NDArray[np.float64]


@dataclass(frozen=True)
class Columns:
    """The objects of one list of stitches; `noun` names one of them in problems ("part stitch")."""

    items: list[dict[str, Any]]
    noun: str
    findings: Findings

    def complain(self, index: int, what: str) -> None:
        """Add a problem of the stitch at `index`, which people count from 1."""
        self.findings.add(f"{self.noun} {index + 1} {what}", CHART_ENTRY)

    def pairs(self, name: str) -> Places | None:
        """Member `name` as an array of shape (n, 2), column (or x) first; None when one of them is wrong."""
        values = [item.get(name) for item in self.items]
        if set(map(type, values)) <= {list} and set(map(len, values)) <= {2}:  # type: ignore[arg-type]
            flat = [part for value in values for part in value]  # type: ignore[union-attr]
            if set(map(type, flat)) <= {int, float}:
                return np.array(flat, np.float64).reshape(-1, 2)
        for index, value in enumerate(values):
            if not _is_pair(value):
                self.complain(index, f"needs “{name}”: two numbers, not {shown(value)}")
        return None

    def numbers(self, fault: str, number_of: Callable[[dict[str, Any]], int]) -> NDArray[np.int64]:
        """What `number_of` makes of each object; where it gives 0, `fault` is complained of."""
        found = np.fromiter(map(number_of, self.items), np.int64, len(self.items))
        for index in np.flatnonzero(found == 0):
            self.complain(int(index), fault)
        return found

    def keys(self, numbers: Mapping[str, int]) -> NDArray[np.int64]:
        """Key numbers of the member "code", 0 where the key has no such code."""

        def number_of(item: dict[str, Any]) -> int:
            code = item.get("code")
            return numbers.get(code, 0) if isinstance(code, str) else 0

        return self.numbers("needs a “code” that is in the key", number_of)

    def unknown(self, known: frozenset[str]) -> dict[int, dict[str, Any]]:
        """By index, the members that are not `known`, where there are any."""
        return {
            index: {name: item[name] for name in item if name not in known}
            for index, item in enumerate(self.items)
            if not item.keys() <= known
        }


def columns_of(top: Members, name: str, noun: str) -> Columns:
    """The list of stitches called `name`; empty when it is not there."""
    return Columns(top.objects(name, MOST_STITCHES), noun, top.findings)


def _is_pair(value: object) -> bool:
    return isinstance(value, list) and len(value) == 2 and all(is_number(part) for part in value)
