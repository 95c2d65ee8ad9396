"""From the named entries of a chart file to a chart, with every check on the way."""

from collections.abc import Mapping
from typing import Any

from stitchview.chart.containers.entrynames import CHART_ENTRY, OWN_ENTRIES, PICTURES, SQUARES_ENTRY
from stitchview.chart.entries import strictjson
from stitchview.chart.entries.headmembers import kept_version, needed_version, read_head, read_sheets
from stitchview.chart.entries.keymembers import read_key
from stitchview.chart.entries.members import Members
from stitchview.chart.entries.pictures import picture_size
from stitchview.chart.entries.reviewmembers import read_by_hand, read_doubts
from stitchview.chart.entries.squarestext import read_squares
from stitchview.chart.entries.stitchmembers import read_lines, read_parts, read_points
from stitchview.chart.limits import MOST_SHEET_PIXELS, MOST_SYMBOL_PIXELS
from stitchview.chart.model import Chart, KeyEntry, Sheet
from stitchview.chart.problems import Findings


def decode(entries: Mapping[str, bytes], findings: Findings) -> Chart:
    """The chart that `entries` hold; raises `FaultyChart` with every problem that can be found."""
    top = Members(_parsed(entries[CHART_ENTRY], findings), "", findings)
    head = read_head(top)
    key = read_key(top)
    if len(findings):
        # By a key or a size that is wrong itself, squares and stitches cannot be judged.
        raise findings.error()
    numbers = {entry.code: number for number, entry in enumerate(key, 1)}
    squares = read_squares(entries[SQUARES_ENTRY], tuple(numbers), (head.rows, head.columns), findings)
    parts = read_parts(top, numbers, head, squares)
    lines, points = read_lines(top, numbers, head), read_points(top, numbers, head)
    sheets = read_sheets(top, head)
    doubts, by_hand = read_doubts(top, numbers, head), read_by_hand(top, head)
    _check_pictures(key, sheets, entries, findings)
    if len(findings):
        raise findings.error()
    needed = needed_version(sheets, doubts, by_hand)
    newer = {} if kept_version({"version": head.version}, needed) == needed else {"version": head.version}
    return Chart(
        squares=squares,
        key=key,
        title=head.title,
        notes=head.notes,
        identity=head.identity,
        origin=head.origin,
        cloth=head.cloth,
        parts=parts,
        lines=lines,
        points=points,
        sheets=sheets,
        doubts=doubts,
        by_hand=by_hand,
        attachments={name: content for name, content in entries.items() if name not in OWN_ENTRIES},
        extra=newer | top.rest(),
    )


def _parsed(content: bytes, findings: Findings) -> dict[str, Any]:
    try:
        value = strictjson.parse(content)
    except strictjson.NotJson as error:
        raise findings.stop(str(error), CHART_ENTRY) from error
    if not isinstance(value, dict):
        raise findings.stop("it must hold one object in braces", CHART_ENTRY)
    return value


def _check_pictures(
    key: tuple[KeyEntry, ...], sheets: tuple[Sheet, ...], entries: Mapping[str, bytes], findings: Findings
) -> None:
    for number, entry in enumerate(key, 1):
        if entry.symbol.picture:
            fault = _picture_fault(entry.symbol.picture, entries, MOST_SYMBOL_PIXELS)
            _complain(fault, f"key entry {number} (“{entry.code}”)", entry.symbol.picture, findings)
    for number, sheet in enumerate(sheets, 1):
        if sheet.picture:
            fault = _picture_fault(sheet.picture, entries, MOST_SHEET_PIXELS)
            _complain(fault, f"sheet {number}", sheet.picture, findings)


def _complain(fault: str, place: str, picture: str, findings: Findings) -> None:
    if fault:
        findings.add(f"{place}: the picture “{picture}” {fault}", CHART_ENTRY)


def _picture_fault(name: str, entries: Mapping[str, bytes], most_pixels: int) -> str:
    if not name.startswith(PICTURES):
        return f"must lie in {PICTURES}"
    if name not in entries:
        return "is not among the chart's files"
    try:
        width, height = picture_size(entries[name])
    except ValueError as error:
        return str(error)
    if width * height > most_pixels:
        return f"has {width:,} x {height:,} pixels, at most {most_pixels:,} in all are allowed"
    return ""
