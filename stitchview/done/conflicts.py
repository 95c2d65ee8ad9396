"""Find the conflict copies of a layer that a file-sync service left in its folder, and offer to join them."""

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from stitchview.done.joining import Joined, Piece, join_seen
from stitchview.done.looking import Owner, Seen, is_marked, look_into
from stitchview.done.shelf import Condition, layer_name
from stitchview.safefile import TEMPORARY_MARK

READABLE = (Condition.GOOD, Condition.DAMAGED)


@dataclass(frozen=True, eq=False, slots=True)
class ConflictCopy:
    """Another file with marks of the same chart: what was `seen` in it, and how many strokes are `new`."""

    seen: Seen
    new: int

    @property
    def path(self) -> Path:
        """Where it lies."""
        return self.seen.path


@dataclass(frozen=True, eq=False, slots=True)
class Offer:
    """Conflict copies that she may join: the `sentence` that says so, and the `action` in a few words."""

    sentence: str
    action: str
    copies: tuple[ConflictCopy, ...]


def conflict_copies(chart_path: Path, identity: str, own: tuple[Path, ...] = ()) -> tuple[ConflictCopy, ...]:
    """Files beside the chart that hold strokes of it which its `own` layers have not, by name.

    They are told by what they hold, whatever they are called: by the chart's identity, or for a chart
    without one by the chart's name. Without `own` it is the layer of the chart's name. Nothing is
    written; layers of newer formats are left out. O(bytes of all layers of this chart in the folder).
    """
    owner = Owner(identity, layer_name(chart_path))
    mine = own or (chart_path.with_name(f"{owner.name}.svdone"),)
    had: set[bytes] = set()
    for path in mine:
        had |= look_into(path).ids if path.exists() else set()
    found = []
    for path in _layers_in(chart_path.absolute().parent):
        if any(_is_same(path, each) for each in mine):
            continue
        seen = look_into(path)
        if seen.condition in READABLE and owner.surely_owns(seen.facts) and (new := len(seen.ids - had)):
            found.append(ConflictCopy(seen, new))
    return tuple(found)


def join_copies(piece: Piece, copies: tuple[ConflictCopy, ...]) -> Joined:
    """Join conflict copies to the piece's layer; the copies stay as they are. Raises `LayerError`.

    A window that has the chart open takes the strokes over by `news.news_for`.
    """
    return join_seen(piece, [copy.seen for copy in copies])


def copies_of(piece: Piece) -> tuple[ConflictCopy, ...]:
    """The conflict copies beside the piece's chart that hold what its layer, wherever it lies, has not."""
    found = [shelf.look(piece.chart.identity, read_only=True) for shelf in piece.shelves]
    own = tuple(each.path for each in found if each is not None)
    return conflict_copies(piece.path, piece.chart.identity, own)


def offer_for(piece: Piece) -> Offer | None:
    """What the window says when a chart is opened beside which conflict copies lie; None without any."""
    copies = copies_of(piece)
    if not copies:
        return None
    strokes = len(set().union(*(copy.seen.ids for copy in copies)))
    names = " and ".join(f"“{copy.path.name}”" for copy in copies[:2])
    if len(copies) > 2:
        names = f"“{copies[0].path.name}” and {len(copies) - 1} other files"
    hold = "holds" if len(copies) == 1 else "hold"
    sentence = f"{names} beside the chart {hold} marks of it that are not shown ({strokes:,} strokes in all)."
    return Offer(sentence, "Join them", copies)


def _layers_in(folder: Path) -> Iterator[Path]:
    """The layers in a folder, by name; files that somebody is just writing are hidden and left out."""
    with contextlib.suppress(OSError):
        for path in sorted(folder.iterdir()):
            hidden = path.name.startswith(".") or TEMPORARY_MARK in path.name
            if not hidden and path.is_file() and is_marked(path):
                yield path


def _is_same(path: Path, other: Path) -> bool:
    try:
        return path.samefile(other)
    except OSError:
        return False
