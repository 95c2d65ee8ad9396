"""The commands about charts as files: facts, check, convert and make-sample."""

import argparse
import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from stitchview.command.command import FAULTY, FINE, Arguments, Command
from stitchview.command.taking import refuse_taken, take_chart, take_json, take_replace, whole
from stitchview.command.telling import look_at, tell

if TYPE_CHECKING:
    from stitchview.chart.model import Chart


def _take_facts(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    take_json(parser)


def _facts(asked: Arguments) -> int:
    from stitchview.done.differing import held
    from stitchview.done.inventory import lines_of, members_of
    from stitchview.follow.differencewords import difference_words
    from stitchview.follow.numbering import Numbering

    opened = look_at(asked.chart)
    opened.layer.close()
    chart = opened.marks.chart
    differs = [difference_words(chart, each, Numbering.TOP_LEFT) for each in held(opened.marks)]
    if asked.json:
        members = members_of(chart, opened.tally, opened.notices)
        print(json.dumps(members | {"differences": differs}, indent=2))
        return FINE
    told = ["", "On the cloth it differs, and is counted so:", *differs] if differs else []
    return tell([*lines_of(chart, opened.tally), *told], opened.notices)


def _take_check(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("chart", type=Path, metavar="CHART", help="a chart, or a .svdone file by itself")


def _check(asked: Arguments) -> int:
    from stitchview.chart.fileformat import find_problems
    from stitchview.done.schema import ENDING

    if asked.chart.suffix == ENDING:
        return _tell_of_layers([asked.chart])
    problems = find_problems(asked.chart)
    for problem in problems:
        place = f", {problem.entry}:" if problem.entry else ""
        print(f"“{asked.chart.name}”{place} {problem.what}. {problem.remedy}".rstrip())
    if not problems:
        print(f"“{asked.chart.name}” is a sound chart.")
    layers = _layers_of(asked.chart, is_sound=not problems)
    faulty = bool(problems) | (_tell_of_layers(layers) == FAULTY)
    if not problems:
        faulty |= _tell_of_photos(asked.chart, layers)
    return FAULTY if faulty else FINE


def _tell_of_photos(chart_path: Path, layers: Sequence[Path]) -> bool:
    """Tell which photographs of the cloth are missing or altered; whether any is."""
    from stitchview.command.keeping import piece_at
    from stitchview.done.layerreport import photos_missing

    piece = piece_at(chart_path)
    told = [sentence for layer in layers for sentence in photos_missing(piece, layer)]
    for sentence in told:
        print(sentence)
    return bool(told)


def _layers_of(chart_path: Path, is_sound: bool) -> list[Path]:
    """The layers of a chart, or for one that is not sound just the layer of its name."""
    from stitchview.chart.fileformat import read_chart
    from stitchview.done.ownfolder import own_layers_folder
    from stitchview.done.schema import ENDING
    from stitchview.done.shelf import layer_name, shelves_of

    if not is_sound:
        beside = chart_path.with_name(layer_name(chart_path) + ENDING) if chart_path.name else chart_path
        return [beside] if beside.is_file() else []
    chart = read_chart(chart_path)
    found = [
        shelf.look(chart.identity, read_only=True)
        for shelf in shelves_of(chart_path, chart, own_layers_folder())
    ]
    return [each.path for each in found if each is not None]


def _tell_of_layers(paths: Sequence[Path]) -> int:
    from stitchview.done.layerreport import report_on

    reports = [report_on(path) for path in paths]
    for report in reports:
        print(report.sentence)
    return FINE if all(report.is_sound for report in reports) else FAULTY


def _take_convert(parser: argparse.ArgumentParser) -> None:
    forms = ".svchart, a folder (no ending), .csv (its key beside it), or .png (one pixel a square)"
    parser.add_argument("source", type=Path, metavar="IN", help=f"the chart: {forms}")
    parser.add_argument("target", type=Path, metavar="OUT", help="what to write, in any of these forms")
    take_replace(parser)


def _convert(asked: Arguments) -> int:
    from stitchview.chart.converting import read_any

    imported = read_any(asked.source)
    return _write(imported.chart, asked, imported.notes)


def _take_sample(parser: argparse.ArgumentParser) -> None:
    from stitchview.chart.model import MOST_COLUMNS, MOST_KEY_ENTRIES, MOST_ROWS

    parser.add_argument("target", type=Path, metavar="OUT.svchart", help="the chart to write")
    for name, usual, most in (
        ("columns", 120, f"1 to {MOST_COLUMNS}"),
        ("rows", 90, f"1 to {MOST_ROWS}"),
        ("threads", 28, f"1 to {MOST_KEY_ENTRIES}"),
        ("seed", 1, "any; another seed, another harbour"),
    ):
        parser.add_argument(f"--{name}", type=whole, default=usual, metavar="N", help=f"{most} ({usual})")
    take_replace(parser)


def _sample(asked: Arguments) -> int:
    from stitchview.chart.harbour.making import make_harbour

    _check_free(asked)
    return _write(make_harbour(asked.columns, asked.rows, asked.threads, asked.seed), asked, ())


def _write(chart: "Chart", asked: Arguments, notes: Sequence[str]) -> int:
    from stitchview.chart.converting import places_written, write_any

    _check_free(asked)
    left = write_any(chart, asked.target)
    names = " and ".join(f"“{place.name}”" for place in places_written(asked.target))
    threads = f"{len(chart.key):,} thread{'' if len(chart.key) == 1 else 's'}"
    print(f"Wrote {names}: {chart.columns:,} x {chart.rows:,} squares, {threads}.")
    for note in (*notes, *left):
        print(note)
    return FINE


def _check_free(asked: Arguments) -> None:
    from stitchview.chart.converting import places_written

    refuse_taken(places_written(asked.target), asked)


FACTS = Command("facts", "Count a chart's stitches and what is done of them.", _take_facts, _facts)
CHECK = Command(
    "check", "Say whether a chart and its marks are sound, or all that is wrong.", _take_check, _check
)
CONVERT = Command("convert", "Write a chart in another form.", _take_convert, _convert)
MAKE_SAMPLE = Command("make-sample", "Make a sample chart of our harbour at dusk.", _take_sample, _sample)
