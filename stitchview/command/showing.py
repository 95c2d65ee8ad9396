"""The command that shows how a piece has grown: since."""

import argparse
import json
from collections.abc import Sequence
from contextlib import closing
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from stitchview.command.cloth import usual_pauses
from stitchview.command.command import Arguments, Command
from stitchview.command.taking import refuse_taken, take_chart, take_json, take_replace, whole
from stitchview.command.telling import look_at, tell
from stitchview.errors import CommandError

if TYPE_CHECKING:
    from stitchview.chart.model import Chart
    from stitchview.done.counts import Progress
    from stitchview.done.diary import Diary, Since
    from stitchview.done.layerfile import OpenedLayer
    from stitchview.done.strokes import StrokeRow

LAST, ALL = "last", "all"
WHEN = "a day as 2026-11-25, last (sitting), all, or the name of a pin in time"
REMEDY = "Write it as 2026-11-25, say last or all, or name a pin in time."


def _take_since(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument(
        "when",
        nargs="?",
        default=LAST,
        metavar="WHEN",
        help=WHEN,
    )
    parser.add_argument("--picture", type=Path, metavar="OUT.png", help="what is new, in colour")
    shown = ("new", "before", "now", "beside")
    parser.add_argument("--show", choices=shown, default="new", help="what the picture shows (new)")
    parser.add_argument("--growing", type=Path, metavar="OUT", help=".webp or .gif; a folder for frames")
    parser.add_argument("--pitch", type=whole, default=4, metavar="PX", help="pixels a square (4)")
    take_replace(parser)
    take_json(parser)


def _since(asked: Arguments) -> int:
    from stitchview.done.diary import BEFORE_ALL
    from stitchview.done.ids import time_of
    from stitchview.done.newswords import new_words
    from stitchview.done.sittings import moment

    refuse_taken([each for each in (asked.picture, asked.growing) if each is not None], asked)
    opened = look_at(asked.chart)
    with closing(opened.layer):
        rows = opened.layer.rows()
    chart, diary = opened.marks.chart, _diary_of(opened, rows)
    begin = _moment(asked.when, diary)
    found = diary.since(begin)
    now = opened.tally.total()
    since = None if begin == BEFORE_ALL else moment(time_of(begin) + 1)
    lines = new_words(chart, since, found.gains, found.sittings, now)
    lines += _drawn(asked, diary, found)
    if asked.json:
        lines = [json.dumps(_members(chart, found, since, now), indent=2)]
    return tell(lines, opened.notices)


def _diary_of(opened: "OpenedLayer", rows: "Sequence[StrokeRow]") -> "Diary":
    from stitchview.done.diary import Diary

    return Diary(opened.marks.chart, rows, opened.marks.notes, usual_pauses())


def _drawn(asked: Arguments, diary: "Diary", found: "Since") -> list[str]:
    """Write the pictures asked for, and give a line about each."""
    if asked.picture is None and asked.growing is None:
        return []
    from stitchview.canvas.clothpicture import ClothWish, now_picture
    from stitchview.canvas.growing import chosen_ends, write_frames, write_growing
    from stitchview.canvas.newpictures import Between, Shown, picture_of
    from stitchview.canvas.picture import application, save_png

    holding, wish, told = application(), ClothWish(asked.pitch), []
    if asked.picture is not None:
        between = Between(diary.chart, found.before, found.after)
        save_png(picture_of(between, Shown(asked.show), wish), asked.picture)
        told.append(f"Wrote “{asked.picture.name}”.")
    if asked.growing is not None:
        ends = chosen_ends([each.last for each in diary.sittings])
        frames = (now_picture(diary.chart, states, wish) for states in diary.states(ends))
        write = write_growing if asked.growing.suffix else write_frames
        told.append(f"Wrote “{asked.growing.name}”: {write(frames, asked.growing):,} pictures.")
    del holding
    return told


def _moment(when: str, diary: "Diary") -> bytes:
    from stitchview.done.diary import BEFORE_ALL, at_ms, start_of

    if when in (LAST, ALL):
        return BEFORE_ALL if when == ALL else diary.before_last_sitting()
    named = [each.time for each in diary.notes.time_pins if each.name == when]
    if named:
        return at_ms(named[-1])
    try:
        return start_of(date.fromisoformat(when))
    except ValueError as error:
        raise CommandError(f"“{when}” is no day.", REMEDY) from error


def _members(chart: "Chart", found: "Since", since: datetime | None, now: "Progress") -> dict[str, object]:
    from stitchview.done.newareas import by_block

    blocks = by_block(chart, found.gains.came)
    places = ((each.area, each.stitches) for each in blocks)
    return {
        "since": None if since is None else since.isoformat(timespec="seconds"),
        "came": found.gains.came.count,
        "unpicked": found.gains.went.count - found.gains.found_wrong,
        "found_wrong": found.gains.found_wrong,
        "first_legs": found.gains.first_legs,
        "by_thread": found.gains.by_thread[1:].sum(axis=1).tolist(),
        "by_block": [
            {"column": area.column + 1, "row": area.row + 1, "stitches": count} for area, count in places
        ],
        "sittings": len(found.sittings),
        "minutes": round(sum(each.minutes for each in found.sittings), 1),
        "done": now.done,
        "left": now.left,
        "percent": now.percent,
    }


SINCE = Command("since", "Say and show what is new since a day or the last sitting.", _take_since, _since)
