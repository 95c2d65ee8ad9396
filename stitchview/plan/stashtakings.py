"""What other pieces take of a thread that this one waits for: they use it instead of a printed one."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart
from stitchview.chart.threadname import ThreadName
from stitchview.done.basket import Piece
from stitchview.done.sittings import day_words, moment
from stitchview.done.takenthread import TakenThread
from stitchview.plan.stash import Holding, Stash
from stitchview.plan.stashmatch import matching
from stitchview.plan.stashwords import called, skeins_words
from stitchview.plan.threads import BoughtThread


@dataclass(frozen=True, slots=True)
class Taking:
    """A thread that the piece called `title` takes."""

    title: str
    taken: TakenThread

    @property
    def words(self) -> str:
        """Who uses it instead of what, how much of it, and since when."""
        skeins = skeins_words(self.taken.skeins) if self.taken.skeins else "how much is not told"
        since = f", since {day_words(moment(self.taken.time))}" if self.taken.time else ""
        instead = f" instead of {self.taken.instead_of}" if self.taken.instead_of else ""
        return f"“{self.title}” uses it{instead} ({skeins}{since})."


def takings_elsewhere(pieces: Iterable[Piece], chart: Chart, since: int = -1) -> tuple[Taking, ...]:
    """What all pieces but that of `chart` take, noted later than `since`, in ms since 1970, UTC."""
    return tuple(
        Taking(piece.title or piece.path.stem, taken)
        for piece in pieces
        if not _is_of(piece, chart)
        for taken in piece.taken
        if taken.time > since
    )


def takings_of(
    threads: Sequence[BoughtThread], takings: Sequence[Taking]
) -> Mapping[ThreadName, tuple[Taking, ...]]:
    """The takings that are surely of one of the threads, by that thread."""
    # They are matched as rows of her list are; the place in the list tells which is which.
    rows = [_as_holding(each.taken, at) for at, each in enumerate(takings)]
    found = matching(threads, rows).found
    return {
        each.thread.identity: tuple(takings[holding.line] for holding in each.owned)
        for each in found
        if each.owned
    }


def shared_words(takings: Sequence[Taking], skeins: float | None, wanted: float = 0.0) -> str:
    """All takings of a thread in sentences, and what is left of the `skeins` in her list for this piece.

    `skeins` is None where no list is known; `wanted` are those still needed here, 0 if that is not known.
    """
    told = [each.words for each in takings]
    gone = sum(each.taken.skeins for each in takings)
    if skeins is not None and gone:
        left = max(0.0, skeins - gone)
        there, rest = skeins_words(skeins), skeins_words(left)
        told.append(f"Of {there} in your list that leaves {rest}, unless the list is newer.")
        if wanted > left:
            told.append("That is not enough here.")
    return " ".join(told)


def notices(threads: Sequence[BoughtThread], takings: Sequence[Taking], stash: Stash | None) -> list[str]:
    """A sentence or more for each of the threads of which other pieces take."""
    found = takings_of(threads, takings)
    owned = {} if stash is None else _owned(threads, stash)
    return [
        f"{called(each)} is waited for here. {shared_words(mine, owned.get(each.identity))}"
        for each in threads
        if (mine := found.get(each.identity))
    ]


def taking_members(takings: Iterable[Taking]) -> list[dict[str, Any]]:
    """The takings as JSON members."""
    return [
        {"piece": each.title, "insteadOf": each.taken.instead_of, "skeins": each.taken.skeins}
        for each in takings
    ]


def _owned(threads: Sequence[BoughtThread], stash: Stash) -> dict[ThreadName, float]:
    found = matching(threads, stash.holdings).found
    return {
        each.thread.identity: sum(row.skeins or 0.0 for row in each.owned) for each in found if each.owned
    }


def _as_holding(taken: TakenThread, place: int) -> Holding:
    try:
        colour = Colour.from_hex(taken.colour)
    except ValueError:
        colour = None
    return Holding(taken.name, taken.number, taken.range, taken.kind, colour, taken.skeins, line=place)


def _is_of(piece: Piece, chart: Chart) -> bool:
    if piece.identity or chart.identity:
        return piece.identity == chart.identity
    return piece.title == chart.title
