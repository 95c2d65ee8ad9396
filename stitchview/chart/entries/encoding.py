"""From a chart to the named entries of its file: the same chart always gives the same bytes."""

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.codes import code_fault
from stitchview.chart.containers.entrynames import (
    CHART_ENTRY,
    MEDIA_TYPE,
    MIMETYPE_ENTRY,
    OWN_ENTRIES,
    SQUARES_ENTRY,
    doubled,
    is_hidden,
    name_fault,
    shown_name,
)
from stitchview.chart.entries import strictjson
from stitchview.chart.entries.decoding import decode
from stitchview.chart.entries.headmembers import (
    Head,
    head_members,
    kept_version,
    needed_version,
    sheet_members,
)
from stitchview.chart.entries.keymembers import entry_members
from stitchview.chart.entries.members import with_unknown
from stitchview.chart.entries.reviewmembers import by_hand_members, doubt_members
from stitchview.chart.entries.squarestext import write_squares
from stitchview.chart.entries.stitchmembers import line_members, part_members, point_members
from stitchview.chart.limits import MOST_ENTRIES, MOST_JSON_BYTES, MOST_OTHER_BYTES, MOST_PICTURE_BYTES
from stitchview.chart.model import Chart
from stitchview.chart.problems import Findings
from stitchview.chart.review import NO_SECOND, Decided, Why
from stitchview.chart.stitches import LineKind, PartShape, PointKind

_LISTS = frozenset({"key", "part_stitches", "lines", "points", "sheets", "doubts", "by_hand"})


def encode(chart: Chart, findings: Findings) -> dict[str, bytes]:
    """The entries of `chart` in the order they are written.

    What was encoded is decoded once more before it is given out, so that nothing can be saved
    that could not be opened again; raises `FaultyChart` if so.
    """
    _check_numbers(chart, findings)
    _check_review(chart, findings)
    _check_attachments(chart, findings)
    if len(findings):
        raise findings.error()
    try:
        text = "".join(_json_lines(chart)).encode("utf-8")
    except (TypeError, ValueError) as error:
        raise findings.stop(f"holds something that JSON cannot ({error})", CHART_ENTRY) from error
    if len(text) > MOST_JSON_BYTES:
        raise findings.stop(f"has {len(text):,} bytes, at most {MOST_JSON_BYTES:,} are allowed", CHART_ENTRY)
    entries = {
        MIMETYPE_ENTRY: MEDIA_TYPE,
        CHART_ENTRY: text,
        SQUARES_ENTRY: write_squares(chart.squares, [entry.code for entry in chart.key]),
    }
    entries |= {name: chart.attachments[name] for name in sorted(chart.attachments)}
    decode(entries, findings)
    return entries


def _check_numbers(chart: Chart, findings: Findings) -> None:
    for number, entry in enumerate(chart.key, 1):
        if fault := code_fault(entry.code):
            findings.add(f"key entry {number}: “code” {fault}", CHART_ENTRY)
    known = len(chart.key)
    if chart.squares.size and int(chart.squares.max()) > known:
        findings.add(f"there are squares beyond the {known} entries of the key", SQUARES_ENTRY)
    for name, keys in (
        ("part stitch", chart.parts.keys),
        ("line", chart.lines.keys),
        ("point", chart.points.keys),
    ):
        if not _within(keys, 1, known):
            findings.add(f"there is a {name} beyond the {known} entries of the key", CHART_ENTRY)
    kinds_known = (
        _within(chart.parts.shapes, min(PartShape), max(PartShape))
        and _within(chart.lines.kinds, min(LineKind), max(LineKind))
        and _within(chart.points.kinds, min(PointKind), max(PointKind))
    )
    if not kinds_known:
        findings.add("there is a stitch of a kind that does not exist", CHART_ENTRY)


def _check_review(chart: Chart, findings: Findings) -> None:
    seconds, known = chart.doubts.seconds, len(chart.key)
    if not _within(seconds[seconds != NO_SECOND], 0, known):
        findings.add(f"there is a doubt beyond the {known} entries of the key", CHART_ENTRY)
    whys_known = _within(chart.doubts.whys, min(Why), max(Why))
    if not (whys_known and _within(chart.by_hand.kinds, min(Decided), max(Decided))):
        findings.add("there is a doubt or a decision by hand of a kind that does not exist", CHART_ENTRY)


def _within(values: NDArray[Any], least: int, most: int) -> bool:
    return not len(values) or bool(np.min(values) >= least and np.max(values) <= most)


def _check_attachments(chart: Chart, findings: Findings) -> None:
    names = sorted(chart.attachments)
    for name in names:
        fault = name_fault(name) or ("must not begin with a dot" if is_hidden(name) else "")
        if len(chart.attachments[name]) > MOST_PICTURE_BYTES:
            fault = f"has more than {MOST_PICTURE_BYTES:,} bytes"
        if fault:
            findings.add(f"cannot hold the entry {shown_name(name)}, which {fault}")
    for name in doubled((*OWN_ENTRIES, *names)):
        findings.add(f"cannot hold the entry {shown_name(name)} twice")
    if len(names) + len(OWN_ENTRIES) > MOST_ENTRIES:
        findings.add(f"cannot hold more than {MOST_ENTRIES:,} entries")
    if sum(map(len, chart.attachments.values())) > MOST_OTHER_BYTES:
        findings.add(f"cannot hold pictures of more than {MOST_OTHER_BYTES:,} bytes in all")


def _json_lines(chart: Chart) -> Iterator[str]:
    """The text of chart.json in pieces: one member a line, one key entry or stitch a line."""
    opening = "{\n"
    for name, value in _members(chart).items():
        yield f"{opening}  {strictjson.dump(name)}: "
        if name in _LISTS:
            yield from _list_lines(value)
        else:
            yield strictjson.dump(value)
        opening = ",\n"
    yield "\n}\n"


def _list_lines(items: Iterable[dict[str, Any]]) -> Iterator[str]:
    opening = "[\n"
    for item in items:
        yield f"{opening}    {strictjson.dump(item)}"
        opening = ",\n"
    yield "[]" if opening == "[\n" else "\n  ]"


def _members(chart: Chart) -> dict[str, Any]:
    """The members of chart.json in canonical order; lists of stitches are made as they are written."""
    members = head_members(
        Head(
            title=chart.title,
            notes=chart.notes,
            identity=chart.identity,
            columns=chart.columns,
            rows=chart.rows,
            origin=chart.origin,
            cloth=chart.cloth,
            version=kept_version(chart.extra, needed_version(chart.sheets, chart.doubts, chart.by_hand)),
        )
    )
    codes = [entry.code for entry in chart.key]
    members["key"] = map(entry_members, chart.key)
    if len(chart.parts):
        members["part_stitches"] = part_members(chart.parts, codes, chart.origin)
    if len(chart.lines):
        members["lines"] = line_members(chart.lines, codes, chart.origin)
    if len(chart.points):
        members["points"] = point_members(chart.points, codes, chart.origin)
    if chart.sheets:
        members["sheets"] = (sheet_members(sheet, chart.origin) for sheet in chart.sheets)
    if len(chart.doubts):
        members["doubts"] = doubt_members(chart.doubts, codes, chart.origin)
    if len(chart.by_hand):
        members["by_hand"] = by_hand_members(chart.by_hand, chart.origin)
    return with_unknown(members, chart.extra)
