"""A chart's ZIP container: read so that a hostile one does no harm, written the same way each time."""

import stat
import struct
import zipfile
import zlib
from collections.abc import Mapping
from typing import IO

from stitchview.chart.containers.entrynames import (
    CHART_ENTRY,
    MIMETYPE_ENTRY,
    SQUARES_ENTRY,
    doubled,
    is_hidden,
    name_fault,
    shown_name,
)
from stitchview.chart.limits import (
    MOST_DIRECTORY_BYTES,
    MOST_ENTRIES,
    MOST_FILE_BYTES,
    MOST_OTHER_BYTES,
)
from stitchview.chart.problems import Findings

_END_SIGNATURE = b"PK\x05\x06"
_END = struct.Struct("<4s4H2LH")
_LOCATOR_SIGNATURE = b"PK\x06\x07"
_LOCATOR_SIZE = 20
_LOCAL_HEADER_SIZE = 30
_ENCRYPTED = 0x1 | 0x40
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_FIXED_DATE = (1980, 1, 1, 0, 0, 0)
_UNIX = 3
_REGULAR = (stat.S_IFREG | 0o644) << 16

# What zipfile lets out for bytes that are not a ZIP it can follow (found by flipping bytes).
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    NotImplementedError,
    OSError,
    OverflowError,
    RuntimeError,
    ValueError,
    struct.error,
)
_DAMAGED = "is damaged: its ZIP container cannot be followed"
_COPY = "Fetch the file again, or use a copy."


def read_zip(file: IO[bytes], size: int, caps: Mapping[str, int], findings: Findings) -> dict[str, bytes]:
    """The entries of a ZIP of `size` bytes, folders and hidden names left out.

    Everything declared is checked before anything is inflated: their number and names, that each
    entry stays under its cap in `caps` (by name, "" for all others), and the sum of those others.
    Raises `FaultyChart`.
    """
    _check_end(file, size, findings)
    try:
        with zipfile.ZipFile(file) as archive:
            infos = [info for info in archive.infolist() if not info.orig_filename.endswith("/")]
            _check_infos(infos, archive, caps, findings)
            if len(findings):
                raise findings.error()
            return {info.filename: _inflated(archive, info) for info in infos if not is_hidden(info.filename)}
    except _BROKEN as error:
        raise findings.stop(_DAMAGED, remedy=_COPY) from error


def write_zip(file: IO[bytes], entries: Mapping[str, bytes]) -> None:
    """Write `entries` in their order; the same entries always give the same bytes.

    The media type and pictures are stored, all else is deflated; dates are the first that ZIP knows.
    """
    with zipfile.ZipFile(file, "w", allowZip64=False) as archive:
        for name, content in entries.items():
            info = zipfile.ZipInfo(name, _FIXED_DATE)
            info.create_system = _UNIX
            info.external_attr = _REGULAR
            stored = name == MIMETYPE_ENTRY or name.lower().endswith((".png", ".jpg", ".jpeg"))
            info.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
            archive.writestr(info, content)


def _check_end(file: IO[bytes], size: int, findings: Findings) -> None:
    """Refuse what zipfile would have to read whole before it could be judged.

    The end record must be the very last bytes and without a comment, so that every reader finds
    the same one; ZIP64 is never needed for sizes this small.
    """
    if size == 0:
        raise findings.stop("is empty", remedy="Use a copy of the chart.")
    if size > MOST_FILE_BYTES:
        raise findings.stop(f"has {size:,} bytes, a chart file has at most {MOST_FILE_BYTES:,}")
    file.seek(0)
    begins = file.read(4)
    file.seek(max(0, size - _END.size - _LOCATOR_SIZE))
    tail = file.read()
    end = tail[-_END.size :]
    if len(end) < _END.size or not end.startswith(_END_SIGNATURE):
        if begins.startswith(b"PK"):
            raise findings.stop(
                "is cut short or damaged: the end of its ZIP container is missing", remedy=_COPY
            )
        raise findings.stop("is not a chart", remedy=_instead_of(findings.name))
    _, _, _, _, count, directory_bytes, _, comment = _END.unpack(end)
    if comment or tail[: -_END.size].startswith(_LOCATOR_SIGNATURE):
        raise findings.stop("is a ZIP64 container or has a ZIP comment; charts have neither")
    if count > MOST_ENTRIES or directory_bytes > MOST_DIRECTORY_BYTES:
        raise findings.stop(f"has more than {MOST_ENTRIES:,} entries")


def _instead_of(name: str) -> str:
    """What to do with a file that was taken for a chart."""
    if name in (CHART_ENTRY, SQUARES_ENTRY):
        return "It is one part of a chart; choose the folder in which it lies."
    if name.lower().endswith((".csv", ".png")):
        return "Make one of it with `stitchview convert`, or choose a .svchart file or a chart folder."
    return "Choose a .svchart file or a chart folder."


def _check_infos(
    infos: list[zipfile.ZipInfo], archive: zipfile.ZipFile, caps: Mapping[str, int], findings: Findings
) -> None:
    if len(infos) > MOST_ENTRIES:
        findings.add(f"has more than {MOST_ENTRIES:,} entries")
    for info in infos:
        fault = name_fault(info.orig_filename) or name_fault(info.filename) or _entry_fault(info, caps)
        if fault:
            findings.add(f"holds the entry {shown_name(info.orig_filename)}, which {fault}")
    for name in doubled(info.filename for info in infos):
        findings.add(f"holds the entry {shown_name(name)} twice (capitals do not count)")
    if sum(info.file_size for info in infos if info.filename not in caps) > MOST_OTHER_BYTES:
        findings.add(f"inflates to pictures of more than {MOST_OTHER_BYTES:,} bytes in all")
    if _overlap(infos, archive.start_dir):
        findings.add("has entries that lie over one another, as compression bombs do")


def _entry_fault(info: zipfile.ZipInfo, caps: Mapping[str, int]) -> str:
    most = caps.get(info.filename, caps[""])
    kind = stat.S_IFMT(info.external_attr >> 16)
    if kind not in (0, stat.S_IFREG):
        return "is a link or a device, not a file"
    if info.flag_bits & _ENCRYPTED:
        return "is encrypted"
    if info.compress_type not in _METHODS:
        return "is packed by a method other than deflate"
    if info.file_size > most:
        return f"inflates to {info.file_size:,} bytes, at most {most:,} are allowed"
    return ""


def _overlap(infos: list[zipfile.ZipInfo], directory_start: int) -> bool:
    """Whether two entries share bytes, or one reaches into the directory (which begins after all)."""
    placed = sorted(infos, key=lambda info: info.header_offset)
    ends = [info.header_offset + _LOCAL_HEADER_SIZE + info.compress_size for info in placed]
    starts = [info.header_offset for info in placed[1:]] + [directory_start]
    return any(end > start for end, start in zip(ends, starts, strict=False))


def _inflated(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes:
    """The entry's bytes, never more than its header declared, for headers lie."""
    with archive.open(info) as stream:
        content = stream.read(info.file_size + 1)
    if len(content) != info.file_size:
        raise zipfile.BadZipFile(f"{info.filename} is not as long as declared")
    return content
