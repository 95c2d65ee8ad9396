"""The commands about marks in several places and of earlier days: join and copies."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stitchview.command.command import FINE, Arguments, Command
from stitchview.command.taking import take_chart, take_json, whole
from stitchview.command.telling import tell
from stitchview.errors import CommandError

if TYPE_CHECKING:
    from stitchview.done.joining import Joined, Piece


def piece_at(path: Path) -> "Piece":
    """The chart at `path` with all that tells where its marks lie; raises `ChartError`."""
    from stitchview.chart.fileformat import read_chart
    from stitchview.done.joining import Piece
    from stitchview.done.ownfolder import own_layers_folder

    return Piece(path, read_chart(path), own_layers_folder())


def strokes(count: int) -> str:
    """So many strokes in words."""
    return "1 stroke" if count == 1 else f"{count:,} strokes"


def _take_join(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument(
        "layers", type=Path, nargs="*", metavar="LAYER", help="files with marks of the same chart"
    )
    parser.add_argument("--copies", action="store_true", help="also every conflict copy beside the chart")
    take_json(parser)


def _join(asked: Arguments) -> int:
    from stitchview.done.conflicts import copies_of
    from stitchview.done.joining import join_seen, seen_of

    if not asked.layers and not asked.copies:
        raise CommandError("No layer was named.", "Name the files to join, or add --copies.")
    piece = piece_at(asked.chart)
    seen = seen_of(piece, asked.layers)
    if asked.copies:
        named = {path.resolve() for path in asked.layers}
        seen += [copy.seen for copy in copies_of(piece) if copy.path.resolve() not in named]
    if not seen:
        print(f"There is no other file with marks of “{asked.chart.name}” beside it.")
        return FINE
    joined = join_seen(piece, seen)
    if asked.json:
        print(json.dumps(_members(joined), indent=2))
        return FINE
    lines = [
        f"“{each.path.name}”: {strokes(each.strokes)}, {each.new:,} of them new" for each in joined.taken
    ]
    total = f"“{joined.path.name}” has all of them now; {strokes(joined.new)} new."
    return tell([*lines, total], joined.notices)


def _members(joined: "Joined") -> dict[str, Any]:
    taken = [
        {"layer": str(each.path), "strokes": each.strokes, "new": each.new, "damaged": each.damaged}
        for each in joined.taken
    ]
    return {"layer": str(joined.path), "new": joined.new, "joined": taken, "notices": list(joined.notices)}


JOIN = Command("join", "Join marks of one chart that were made in several places.", _take_join, _join)


def _take_copies(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument(
        "--restore", type=whole, metavar="N", help="make copy N what is done; what is there is kept first"
    )
    take_json(parser)


def _copies(asked: Arguments) -> int:
    from stitchview.done.restoring import copies_kept_of, restore

    piece = piece_at(asked.chart)
    if asked.restore is not None:
        restored = restore(piece, asked.restore)
        print(
            f"“{restored.layer.name}” holds {strokes(restored.strokes)} again, those of copy {asked.restore}."
        )
        if restored.kept is not None:
            print(f"What was there is kept as copy {restored.kept.number}.")
        elif restored.aside is not None:
            print(f"The damaged layer is kept as “{restored.aside.name}”.")
        return FINE
    copies = copies_kept_of(piece)
    if asked.json:
        told = [
            {
                "number": copy.number,
                "made": copy.made.isoformat(),
                "strokes": copy.strokes,
                "file": str(copy.path),
            }
            for copy in copies
        ]
        print(json.dumps({"copies": told}, indent=2))
        return FINE
    lines = [
        f"{copy.number:>6}  {copy.made.astimezone():%Y-%m-%d %H:%M}  {strokes(copy.strokes)}"
        for copy in copies
    ]
    return tell(lines or [f"No copy of the marks of “{asked.chart.name}” is kept yet."], ())


COPIES = Command("copies", "List the dated copies of what is done, or restore one.", _take_copies, _copies)
