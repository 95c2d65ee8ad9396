"""The commands about the end of a piece: finish, and what finished pieces taught."""

import argparse
import json
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from stitchview.command.card import PAPERS
from stitchview.command.cloth import habits_of, piece_of, usual_pauses
from stitchview.command.command import Arguments, Command
from stitchview.command.taking import pair, refuse_taken, take_chart, take_json, take_replace, whole
from stitchview.command.telling import look_at, tell
from stitchview.errors import CommandError

if TYPE_CHECKING:
    from stitchview.done.finishnotes import Finished
    from stitchview.done.layerfile import OpenedLayer
    from stitchview.plan.finishedpieces import FinishedPieces
    from stitchview.plan.finishing import Ending

INCH_MM = 25.4


def _take_finish(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("--done", action="store_true", help="note that it is finished")
    parser.add_argument(
        "--measured", type=pair, metavar="WxH", help="the stitches’ size in cm; notes that it is finished"
    )
    parser.add_argument("--inch", action="store_true", help="the size is in inches")
    parser.add_argument(
        "--day", metavar="DAY", help="the day it was finished, as 2026-11-25 (the noted one, else today)"
    )
    parser.add_argument(
        "--no-carry", action="store_true", help="let no other piece learn from it, and forget what was learnt"
    )
    parser.add_argument("--sheet", type=Path, metavar="OUT.pdf", help="write the finished sheet to print")
    parser.add_argument("--paper", choices=PAPERS, type=str.lower, default="a4", help="(a4)")
    take_replace(parser)
    take_json(parser)


def _finish(asked: Arguments) -> int:
    from stitchview.canvas.finishsheet import write_finish
    from stitchview.plan.cardpages import PAPERS as PAPERS_BY_NAME
    from stitchview.plan.finishedpieces import FinishedPieces
    from stitchview.plan.finishwords import lines_of, members_of

    if asked.sheet is not None:
        if asked.sheet.suffix.lower() != ".pdf":
            raise CommandError(f"“{asked.sheet.name}” does not end in .pdf.", "Name a file that does.")
        refuse_taken([asked.sheet], asked)
    if (asked.inch or asked.day is not None) and not (asked.measured or asked.done):
        raise CommandError("Nothing was said to be finished.", "Add --done, or --measured with the size.")
    opened = look_at(asked.chart)
    with closing(opened.layer):
        ending = _ending(opened)
    told = []
    if asked.measured or asked.done:
        _note(asked, ending, opened)
        opened = look_at(asked.chart)
        with closing(opened.layer):
            ending = _ending(opened)
        told.append(_carry(asked, ending, FinishedPieces(_folder())))
    elif asked.no_carry:
        FinishedPieces(_folder()).take_out(_identity(asked.chart, opened))
        told.append("No other piece learns from it.")
    if asked.sheet is not None:
        write_finish(opened.marks, ending, asked.sheet, PAPERS_BY_NAME[asked.paper])
        told.append(f"Wrote “{asked.sheet.name}”.")
    if asked.json:
        return tell([json.dumps(members_of(ending), indent=2)], opened.notices)
    return tell([*lines_of(ending), *told], opened.notices)


def _ending(opened: "OpenedLayer") -> "Ending":
    from stitchview.plan.finishing import ending_of

    piece = piece_of(opened)
    return ending_of(opened.marks, opened.layer.rows(), piece, habits_of(piece), pauses=usual_pauses())


def _note(asked: Arguments, ending: "Ending", seen: "OpenedLayer") -> None:
    """Write down that it is finished; another window open on the chart takes it over."""
    from stitchview.done.layerfile import open_layer
    from stitchview.done.marks import noting
    from stitchview.done.ownfolder import own_layers_folder
    from stitchview.plan.clothsize import Size
    from stitchview.plan.finishing import finish_note

    size = None
    if asked.measured:
        unit = INCH_MM if asked.inch else 10.0
        size = Size(*(each * unit for each in asked.measured))
        if min(asked.measured) <= 0:
            raise CommandError(
                "No piece measures nothing or less.", "Give its width and height, as 36.2x54.1."
            )
    elif ending.note is not None and ending.note.measured:
        size = Size(ending.note.width_mm, ending.note.height_mm)
    note: Finished = finish_note(ending, seen.marks, _day(asked.day, ending.note), size)
    opened = open_layer(asked.chart, seen.marks.chart, own_layers_folder())
    with closing(opened.layer):
        if not opened.layer.keeps:
            raise CommandError(
                "What is done of this chart cannot be written.",
                "See whether the folder and the disk can be written, then try again.",
            )
        changed = opened.marks.notes.putting(note)
        if changed is not None:
            change = noting(opened.marks.chart, changed)
            opened.layer.put(opened.history.record(change))
            opened.layer.commit()


def _carry(asked: Arguments, ending: "Ending", kept: "FinishedPieces") -> str:
    from stitchview.plan.finishing import learnt_from

    identity = ending.chart.identity or str(asked.chart.resolve())
    learnt = learnt_from(ending, identity)
    if asked.no_carry or learnt is None:
        kept.take_out(identity)
        return "No other piece learns from it."
    kept.put(learnt)
    if not learnt.teaches:
        return "Other pieces learn nothing from it: neither size, nor thread used, nor hours are told."
    return f"Other pieces may learn from it: {learnt.from_words}."


def _identity(path: Path, opened: "OpenedLayer") -> str:
    return opened.marks.chart.identity or str(path.resolve())


def _folder() -> Path:
    from stitchview.done.ownfolder import own_layers_folder

    return own_layers_folder()


def _day(text: str | None, noted: "Finished | None") -> date:
    """The day she gave, or else the one that was noted, or else today."""
    if text is None:
        return date.today() if noted is None else noted.date
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise CommandError(f"“{text}” is no day.", "Write it as 2026-11-25.") from error


def _take_taught(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--refuse", type=whole, metavar="N", help="learn nothing from piece N of the list")
    parser.add_argument("--take", type=whole, metavar="N", help="learn from it again")
    parser.add_argument("--forget", type=whole, metavar="N", help="take it out of the list")
    take_json(parser)


def _taught(asked: Arguments) -> int:
    from dataclasses import asdict

    from stitchview.plan.finishedpieces import FinishedPieces
    from stitchview.plan.lessonwords import lines_about

    kept = FinishedPieces(_folder())
    pieces = kept.pieces()
    for number in (asked.refuse, asked.take, asked.forget):
        if number is not None and not 1 <= number <= len(pieces):
            raise CommandError(f"There is no finished piece {number}.", "`stitchview taught` lists them.")
    if asked.refuse is not None:
        kept.take(pieces[asked.refuse - 1].identity, taken=False)
    if asked.take is not None:
        kept.take(pieces[asked.take - 1].identity, taken=True)
    if asked.forget is not None:
        kept.take_out(pieces[asked.forget - 1].identity)
    found = kept.pieces()
    if asked.json:
        return tell([json.dumps([asdict(each) for each in found], indent=2)], ())
    lines = [line for number, each in enumerate(found, 1) for line in lines_about(each, number)]
    return tell(lines or ["No piece was finished yet, so nothing is taught."], ())


FINISH = Command(
    "finish", "Say how a piece ended, and note that it is finished and its size.", _take_finish, _finish
)
TAUGHT = Command("taught", "List what finished pieces teach others, and refuse it.", _take_taught, _taught)
