"""The head of `chart.json`: what file it is, its version, name, size, cloth and paper sheets."""

import re
from collections.abc import Sized
from dataclasses import dataclass
from typing import Any

from stitchview.chart.area import Area
from stitchview.chart.containers.entrynames import CHART_ENTRY
from stitchview.chart.entries.members import Members, shown, with_unknown
from stitchview.chart.limits import (
    MOST_COUNT,
    MOST_NAME_BYTES,
    MOST_NOTES,
    MOST_ORIGIN,
    MOST_OVER,
    MOST_SHEET_DOUBTS,
    MOST_SHEETS,
    MOST_TITLE,
)
from stitchview.chart.model import CREAM, MOST_COLUMNS, MOST_ROWS, Cloth, Sheet

FORMAT = "stitchview chart"
MAJOR = 1
PLAIN, REVIEWED = "1.0", "1.1"
"""The lowest version that knows every member of a chart: 1.1 where something is left for review."""
PER_INCH, PER_100_MM = "25.4 mm", "100 mm"

_VERSION = re.compile(r"(0|[1-9][0-9]{0,4})\.(0|[1-9][0-9]{0,4})\Z", re.ASCII)
_IDENTITY = re.compile(r"[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}\Z", re.ASCII)


@dataclass(frozen=True, slots=True)
class Head:
    """What `chart.json` says of the chart as a whole; `version` is kept when it is a newer minor one."""

    title: str
    notes: str
    identity: str
    columns: int
    rows: int
    origin: tuple[int, int]
    cloth: Cloth | None
    version: str

    @property
    def area(self) -> Area:
        """All squares, counted from the top left one."""
        return Area(0, 0, self.columns, self.rows)


def read_head(top: Members) -> Head:
    """Take the head's members; raises `FaultyChart` when this is no chart of this major version."""
    version = _read_version(top)
    return Head(
        title=top.text("title", "", MOST_TITLE),
        notes=top.text("notes", "", MOST_NOTES, lines=True),
        identity=_read_identity(top),
        columns=top.whole("columns", 1, MOST_COLUMNS),
        rows=top.whole("rows", 1, MOST_ROWS),
        origin=top.pair("origin", MOST_ORIGIN, (0, 0)),
        cloth=_read_cloth(top),
        version=version,
    )


def head_members(head: Head) -> dict[str, Any]:
    """The head's members in canonical order; what says nothing is left out."""
    members: dict[str, Any] = {"format": FORMAT, "version": head.version}
    for name, text in (("identity", head.identity), ("title", head.title), ("notes", head.notes)):
        if text:
            members[name] = text
    members |= {"columns": head.columns, "rows": head.rows, "origin": list(head.origin)}
    if head.cloth is not None:
        members["cloth"] = _cloth_members(head.cloth)
    return members


def kept_version(extra: Any, needed: str) -> str:
    """The version to write: a newer minor one that was read stays, for its members are kept too."""
    version = extra.get("version", needed)
    match = _VERSION.match(version) if isinstance(version, str) else None
    newer = match and int(match[1]) == MAJOR and int(match[2]) > int(needed.partition(".")[2])
    return version if newer else needed


def needed_version(sheets: tuple[Sheet, ...], *for_review: Sized) -> str:
    """The lowest version that knows what these sheets and the tables `for_review` hold."""
    told = any(not sheet.read or sheet.doubts for sheet in sheets)
    return REVIEWED if told or any(map(len, for_review)) else PLAIN


def read_sheets(top: Members, head: Head) -> tuple[Sheet, ...]:
    """The paper sheets, each of which must lie on the chart."""
    return tuple(
        _read_sheet(Members(value, f"sheet {number}", top.findings), head)
        for number, value in enumerate(top.objects("sheets", MOST_SHEETS), 1)
    )


def sheet_members(sheet: Sheet, origin: tuple[int, int]) -> dict[str, Any]:
    """The JSON object of one sheet, its place given by the address of its top left square."""
    area = sheet.area
    members: dict[str, Any] = {
        "name": sheet.name,
        "at": [area.column + origin[0], area.row + origin[1]],
        "columns": area.columns,
        "rows": area.rows,
    }
    if sheet.picture:
        members["picture"] = sheet.picture
    if not sheet.read:
        members["read"] = False
    if sheet.doubts:
        members["doubts"] = list(sheet.doubts)
    return with_unknown(members, sheet.extra)


def _read_version(top: Members) -> str:
    if top.take("format") != FORMAT:
        raise top.findings.stop(f"“format” must be “{FORMAT}”", CHART_ENTRY, "This is another kind of file.")
    version = top.take("version")
    match = _VERSION.match(version) if isinstance(version, str) else None
    if match is None:
        told = "is missing" if version is None else f"must be written as “{PLAIN}”, not {shown(version)}"
        raise top.findings.stop(f"“version” {told}", CHART_ENTRY)
    if int(match[1]) > MAJOR:
        raise top.findings.stop(
            f"version {version} is newer than this program, which reads {MAJOR}.x",
            CHART_ENTRY,
            "Open it with a newer stitchview.",
        )
    if int(match[1]) < MAJOR:
        raise top.findings.stop(f"there is no version {version}, the first is {MAJOR}.0", CHART_ENTRY)
    return str(version)


def _read_identity(top: Members) -> str:
    identity = top.text("identity", "")
    if identity and not _IDENTITY.match(identity):
        top.complain(
            f"“identity” must be a UUID such as 0b8f4a52-6d0e-4c1b-9a37-5f2c8d1e6b90, not {shown(identity)}"
        )
    return identity.lower()


def _read_cloth(top: Members) -> Cloth | None:
    if not top.holds("cloth"):
        return None
    members = top.inner("cloth", "cloth")
    unit = members.text("count_unit", PER_INCH)
    if unit not in (PER_INCH, PER_100_MM):
        members.complain(f"“count_unit” must be “{PER_INCH}” or “{PER_100_MM}”, not {shown(unit)}")
    return Cloth(
        name=members.text("name", ""),
        count=members.number("count", MOST_COUNT, 14.0),
        per_100_mm=unit == PER_100_MM,
        over=members.whole("over", 1, MOST_OVER, 1),
        colour=members.colour("colour", CREAM),
        extra=members.rest(),
    )


def _cloth_members(cloth: Cloth) -> dict[str, Any]:
    members: dict[str, Any] = {"name": cloth.name} if cloth.name else {}
    members |= {
        "count": int(cloth.count) if float(cloth.count).is_integer() else cloth.count,
        "count_unit": PER_100_MM if cloth.per_100_mm else PER_INCH,
        "over": cloth.over,
        "colour": cloth.colour.hex,
    }
    return with_unknown(members, cloth.extra)


def _read_sheet(members: Members, head: Head) -> Sheet:
    column, row = members.pair("at", 2 * MOST_ORIGIN)
    columns, rows = members.whole("columns", 1, MOST_COLUMNS), members.whole("rows", 1, MOST_ROWS)
    area = Area(column - head.origin[0], row - head.origin[1], columns, rows)
    if area.clipped(head.area) != area:
        members.complain("its squares reach beyond the chart")
    return Sheet(
        name=members.text("name"),
        area=area,
        picture=members.text("picture", most=MOST_NAME_BYTES) if members.holds("picture") else "",
        read=members.truth("read", default=True),
        doubts=members.texts("doubts", MOST_SHEET_DOUBTS),
        extra=members.rest(),
    )
