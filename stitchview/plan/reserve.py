"""With how many strands a piece is worked, and how much thread of each kind is bought to spare."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from stitchview.plan.manner import MOST_STRANDS
from stitchview.plan.skeins import margin_of

MOST_RESERVE = 3.0
"""As a share: more than four times the need nobody buys."""
MOST_KINDS = 100


@dataclass(frozen=True, slots=True)
class Reserve:
    """`strands` for crosses and `back_strands` for lines go before the key's; None leaves those.

    `shares` are pairs of a kind of thread and what of it is bought to spare, sorted by kind; of other
    kinds it is what common practice says.
    """

    strands: int | None = None
    back_strands: int | None = None
    shares: tuple[tuple[str, float], ...] = ()

    def share_of(self, kind: str) -> float:
        """The share of a kind that is bought to spare."""
        return dict(self.shares).get(kind, margin_of(kind))


def reserve_written(reserve: Reserve) -> dict[str, Any]:
    """The reserve as a JSON object."""
    return {
        "strands": reserve.strands,
        "back_strands": reserve.back_strands,
        "shares": dict(reserve.shares),
    }


def reserve_read(record: Mapping[str, Any]) -> Reserve:
    """The reserve that was written down; whatever in it makes no sense is not settled."""
    told = record.get("shares")
    shares = list(told.items())[:MOST_KINDS] if isinstance(told, dict) else []
    sound = [(kind, float(share)) for kind, share in shares if isinstance(kind, str) and _is_share(share)]
    return Reserve(
        _strands(record.get("strands")), _strands(record.get("back_strands")), tuple(sorted(sound))
    )


def _strands(told: object) -> int | None:
    # A bool is an int in Python, though not in JSON; so the exact type is asked for.
    return told if type(told) is int and 1 <= told <= MOST_STRANDS else None


def _is_share(told: object) -> bool:
    if isinstance(told, bool) or not isinstance(told, int | float):
        return False
    return 0 <= told <= MOST_RESERVE and math.isfinite(told)
