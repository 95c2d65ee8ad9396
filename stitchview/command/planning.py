"""The commands about thread: need and stash."""

import argparse
import json
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from stitchview.command.cloth import count_asked, habits_of, lessons_of, piece_of, take_cloth
from stitchview.command.command import Arguments, Command
from stitchview.command.taking import refuse_taken, take_chart, take_json, take_replace
from stitchview.command.telling import look_at, tell

if TYPE_CHECKING:
    from stitchview.done.layerfile import OpenedLayer
    from stitchview.plan.lessons import Lessons
    from stitchview.plan.need import Need


def _take_need(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    take_cloth(parser)
    _take_strands(parser)
    parser.add_argument("--csv", type=Path, metavar="OUT.csv", help="write a table as well")
    take_json(parser)
    take_replace(parser)


def _take_strands(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--strands", type=int, metavar="N", help="strands in the needle for crosses (as the key says)"
    )


def _need(asked: Arguments) -> int:
    from stitchview.plan.lessonwords import learnt_lines
    from stitchview.plan.needreport import csv_rows, lines_of, members_of
    from stitchview.plan.runout import run_outs, warning_words
    from stitchview.safefile import write_bytes

    if asked.csv is not None:
        refuse_taken([asked.csv], asked)
    opened = look_at(asked.chart)
    opened.layer.close()
    lessons = lessons_of(asked.chart, opened)
    found = _reckoned(asked, opened, lessons)
    symbols = _symbols(opened)
    if asked.csv is not None:
        write_bytes(asked.csv, "".join(csv_rows(found, symbols)).encode("utf-8"))
    short = run_outs(found, opened.marks.notes)
    if asked.json:
        lines = [json.dumps(members_of(found, short), indent=2)]
    else:
        lines = [*lines_of(found, symbols), *(warning_words(each) for each in short)]
        lines += learnt_lines(found, lessons)
    if asked.csv is not None and not asked.json:
        lines.append(f"Wrote “{asked.csv.name}”.")
    return tell(lines, opened.notices)


def _reckoned(asked: Arguments, opened: "OpenedLayer", lessons: "Lessons") -> "Need":
    from stitchview.plan.need import Supply, need
    from stitchview.plan.piece import manner_of
    from stitchview.plan.usednotes import supply_of

    piece = piece_of(opened)
    count = count_asked(asked, piece, opened)
    reserve, chart = piece.reserve, opened.marks.chart
    strands = reserve.strands if asked.strands is None else asked.strands
    taught = Supply(stretches=lessons.stretches(count))
    manner = manner_of(habits_of(piece), strands, reserve.back_strands)
    supply = replace(supply_of(chart, opened.marks.notes, taught), margins=dict(reserve.shares))
    return need(chart, opened.marks, count.pitch, manner, supply)


def _symbols(opened: "OpenedLayer") -> dict[int, str]:
    key = opened.marks.chart.key
    return {number: entry.symbol.text or entry.code for number, entry in enumerate(key, 1)}


def _take_stash(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("stash", type=Path, metavar="STASH.csv", help="what is owned, a row for each thread")
    parser.add_argument(
        "--columns", type=Path, metavar="MAP.json", help="which column is which, as the window keeps it"
    )
    parser.add_argument("--whole", action="store_true", help="for the whole chart, not for what is left")
    take_cloth(parser)
    _take_strands(parser)
    take_json(parser)


def _stash(asked: Arguments) -> int:
    from stitchview.done.basket import Basket
    from stitchview.done.ownfolder import own_layers_folder
    from stitchview.plan.stashcolumns import read_columns
    from stitchview.plan.stashreading import read_stash
    from stitchview.plan.stashreport import against_stash
    from stitchview.plan.stashsubstitutes import substitutes
    from stitchview.plan.stashtakings import notices, taking_members, takings_elsewhere, takings_of
    from stitchview.plan.stashwords import report_lines, report_members

    reading = read_stash(asked.stash, None if asked.columns is None else read_columns(asked.columns))
    opened = look_at(asked.chart)
    opened.layer.close()
    found = _reckoned(asked, opened, lessons_of(asked.chart, opened))
    needs = {
        each.thread.identity: (each.all if asked.whole else each.left).skeins
        for each in found.threads
        if not each.is_bead
    }
    report = against_stash([each.thread for each in found.threads], reading.stash, needs)
    offers = substitutes(report)
    told = (*opened.notices, *reading.notes, *map(str, reading.faults))
    waited_for = [each.thread for each in report.standings if each.need is not None and each.need.high > 0]
    takings = takings_elsewhere(Basket(own_layers_folder()).pieces(), opened.marks.chart)
    if asked.json:
        shared = takings_of(waited_for, takings)
        members = report_members(report, offers)
        for each, standing in zip(members["threads"], report.standings, strict=True):
            each["usedElsewhere"] = taking_members(shared.get(standing.thread.identity, ()))
        return tell([json.dumps(members, indent=2)], told)
    return tell([*report_lines(report, offers), *notices(waited_for, takings, reading.stash)], told)


NEED = Command("need", "Say how much of every thread is needed, done and left.", _take_need, _need)
STASH = Command("stash", "Hold what is owned against what a chart needs.", _take_stash, _stash)
