"""The command that reads charts from photographs, scans and PDF pages."""

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stitchview.command.command import FINE, Arguments, Command
from stitchview.command.taking import refuse_taken, take_json, take_replace, whole
from stitchview.errors import CommandError

if TYPE_CHECKING:
    from stitchview.chart.model import Chart
    from stitchview.sheets.charting import Reading
    from stitchview.sheets.keymatching import KeyMatch
    from stitchview.sheets.keynaming import PrintedKey

_BAR = 30


def _take_read(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("pictures", type=Path, nargs="+", metavar="PICTURE", help="JPEG, PNG, TIFF or PDF")
    parser.add_argument(
        "-o", dest="target", type=Path, required=True, metavar="CHART.svchart", help="the chart to write"
    )
    parser.add_argument(
        "--onto", type=Path, metavar="CHART", help="add to this chart, or read its sheet again"
    )
    for name in ("columns", "rows"):
        parser.add_argument(f"--{name}", type=whole, metavar="N", help=f"how many {name} each sheet has")
    parser.add_argument("--key", type=Path, metavar="KEYPICTURE", help="a picture of the printed key page")
    parser.add_argument(
        "--key-table", type=Path, metavar="KEY.csv", help="the threads of the key page, in its order"
    )
    parser.add_argument("--title", default="", metavar="TITLE", help="the chart's title")
    parser.add_argument("--picture-only", action="store_true", help="read no symbols; follow on the picture")
    parser.add_argument("--debug", type=Path, metavar="DIR", help="save a picture of every step there")
    take_json(parser)
    take_replace(parser)


def _read(asked: Arguments) -> int:
    from stitchview.chart.fileformat import write_chart
    from stitchview.sheets.keynaming import key_lines, match_chart, named_by_key

    _check(asked)
    bar = _Bar(sys.stderr.isatty())
    try:
        # A bad key page is told of before the sheets are worked on.
        key = _key(asked)
        chart, reading = _chart(asked, bar)
    except KeyboardInterrupt:
        bar.close()
        sys.stderr.write("stitchview: The reading was stopped; no chart was written.\n")
        raise
    finally:
        bar.close()
    match = None
    if key is not None:
        match = match_chart(chart, key.page)
        chart = named_by_key(chart, match, key)
    write_chart(chart, asked.target)
    if asked.json:
        print(json.dumps(members_of(chart, reading) | key_members(match, key), indent=2))
        return FINE
    print(f"Wrote “{asked.target.name}”: {chart.columns:,} x {chart.rows:,} squares.")
    for line in lines_of(chart, reading):
        print(line)
    if match is not None and key is not None:
        print(*key_lines(chart, match, key), sep="\n")
    return FINE


def _check(asked: Arguments) -> None:
    if asked.target.suffix.lower() != ".svchart":
        raise CommandError(f"“{asked.target.name}” does not end in .svchart.", "Name a chart that does.")
    for name, count in (("columns", asked.columns), ("rows", asked.rows)):
        if count is not None and not 1 <= count <= 4096:
            raise CommandError(f"A sheet cannot have {count:,} {name}.", "Choose a number from 1 to 4,096.")
    refuse_taken([asked.target], asked)
    if asked.key_table is not None and asked.key is None:
        raise CommandError(
            "A key table names the boxes of a key page, and none is given.", "Name its picture with --key."
        )
    if asked.key is not None and asked.picture_only:
        raise CommandError(
            "With --picture-only no symbols are read that a key could name.", "Leave out --key."
        )
    if asked.debug is not None:
        try:
            asked.debug.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise CommandError(
                f"The folder “{asked.debug.name}” cannot be made ({error.strerror}).",
                "Choose another folder.",
            ) from error


def _chart(asked: Arguments, bar: "_Bar") -> "tuple[Chart, Reading]":
    from stitchview.chart.fileformat import read_chart
    from stitchview.sheets.adding import read_onto
    from stitchview.sheets.charting import chart_of
    from stitchview.sheets.reading import Watch, Wishes, read_sheets

    wishes = Wishes(asked.columns, asked.rows, not asked.picture_only, asked.title, asked.debug)
    watch = Watch(bar.show)
    if asked.onto is not None:
        return read_onto(read_chart(asked.onto), asked.pictures, wishes, watch)
    reading = read_sheets(asked.pictures, wishes, watch)
    return chart_of(reading), reading


def _key(asked: Arguments) -> "PrintedKey | None":
    from stitchview.sheets.debugging import keep_key
    from stitchview.sheets.keynaming import printed_key
    from stitchview.sheets.keypage import read_key_page

    if asked.key is None:
        return None
    key = printed_key(read_key_page(asked.key), asked.key_table)
    if asked.debug is not None:
        keep_key(asked.debug, asked.key.stem, key.page)
    return key


class _Bar:
    """A progress bar on the terminal; none where nobody looks."""

    def __init__(self, shown: bool) -> None:
        self._shown = shown

    def show(self, doing: str, share: float) -> None:
        """Draw the bar again with what is being done beside it."""
        if self._shown:
            full = round(share * _BAR)
            bar = "█" * full + "░" * (_BAR - full)
            sys.stderr.write(f"\r{bar} {share:4.0%} {doing:<48.48}")
            sys.stderr.flush()

    def close(self) -> None:
        """Take the bar away."""
        if self._shown:
            sys.stderr.write("\r" + " " * (_BAR + 54) + "\r")
            sys.stderr.flush()


def members_of(chart: "Chart", reading: "Reading") -> dict[str, Any]:
    """What was read, for programs."""
    origin, names = chart.origin, [sheet.name for sheet in reading.sheets]
    return {
        "columns": chart.columns,
        "rows": chart.rows,
        "sheets": [
            {
                "name": sheet.name,
                "at": [sheet.area.column + origin[0], sheet.area.row + origin[1]],
                "columns": sheet.area.columns,
                "rows": sheet.area.rows,
                "read": sheet.read,
                "doubts": list(sheet.doubts),
            }
            for sheet in chart.sheets
        ],
        "piles": piles_of(chart),
        "lines": len(chart.lines),
        "points": len(chart.points),
        "doubtful": len(chart.doubts),
        "disagreements": [
            {
                "sheets": [names[each.one], names[each.two]],
                "shared": each.shared,
                "squares": each.squares.tolist(),
            }
            for each in reading.joined.disagreements
        ],
    }


def key_members(match: "KeyMatch | None", key: "PrintedKey | None") -> dict[str, Any]:
    """What was matched with the key page, for programs; nothing where there was none."""
    if match is None or key is None:
        return {}
    pairs = [
        {"symbol": pair.symbol, "entry": pair.box, "like": round(pair.like, 3), "clear": pair.clear}
        for pair in match.pairs
    ]
    return {
        "key": {
            "entries": len(key.page.boxes),
            "matched": pairs,
            "symbols not in the key": list(match.symbols),
            "entries not on the chart": list(match.boxes),
            "doubts": list(key.doubts),
        }
    }


def lines_of(chart: "Chart", reading: "Reading") -> list[str]:
    """What was read, for a person."""
    lines = []
    for sheet in chart.sheets:
        place = f"column {sheet.area.column + 1:,}, row {sheet.area.row + 1:,}"
        unread = "" if sheet.read else "; its symbols are not read"
        lines.append(
            f"“{sheet.name}”: {sheet.area.columns:,} x {sheet.area.rows:,} squares from {place}{unread}."
        )
        lines += [f"  {doubt}" for doubt in sheet.doubts]
    total = chart.columns * chart.rows
    lines.append(
        f"{_several(piles_of(chart), 'pile')} of like symbols, {_several(len(chart.lines), 'line')} of back"
        f" stitch, {_several(len(chart.points), 'knot or bead', 'knots and beads')}."
    )
    doubtful = len(chart.doubts)
    lines.append(f"{_several(doubtful, 'doubtful square')} to look at ({doubtful / total:.1%} of all).")
    names = [sheet.name for sheet in reading.sheets]
    for each in reading.joined.disagreements:
        pair = f"“{names[each.one]}” and “{names[each.two]}”"
        shared = _several(each.shared, "square")
        lines.append(f"{pair} both show {shared} and differ in {len(each.squares):,}.")
    return lines


def piles_of(chart: "Chart") -> int:
    """How many entries of the key were cut from paper."""
    return sum(1 for entry in chart.key if entry.symbol.picture)


def _several(count: int, one: str, more: str = "") -> str:
    return f"{count:,} {one if count == 1 else more or one + 's'}"


READ = Command("read", "Read a chart from photographs, scans or PDF pages of paper.", _take_read, _read)
