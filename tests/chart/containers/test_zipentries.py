"""The ZIP container: as the standards want it when written, and harmless when it is hostile."""

import io
import shutil
import stat
import struct
import subprocess
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from stitchview.chart.containers.entrynames import MEDIA_TYPE
from stitchview.chart.containers.zipentries import read_zip, write_zip
from stitchview.chart.fileformat import write_chart
from stitchview.chart.limits import MOST_ENTRIES, MOST_OTHER_BYTES
from stitchview.chart.model import Chart
from stitchview.chart.problems import FaultyChart, Findings

CAPS = {"mimetype": 64, "chart.json": 1000, "": 5000}

Spoil = Callable[[zipfile.ZipInfo], None]


def read(content: bytes, caps: dict[str, int] | None = None) -> dict[str, bytes]:
    """The entries of a ZIP given as bytes."""
    return read_zip(io.BytesIO(content), len(content), caps or CAPS, Findings("test"))


def problems(content: bytes) -> str:
    """What is said of a ZIP that must be refused."""
    with pytest.raises(FaultyChart) as caught:
        read(content)
    return " ".join(map(str, caught.value.problems))


def archive(
    *entries: tuple[str, bytes], spoil: Spoil = lambda info: None, method: int = zipfile.ZIP_DEFLATED
) -> bytes:
    """A ZIP by Python's zipfile, each entry's record spoilt before it is written."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as made:
        for name, data in entries:
            info = zipfile.ZipInfo(name)
            info.compress_type = method
            spoil(info)
            made.writestr(info, data)
    return content.getvalue()


def patched(content: bytes, signature: bytes, offset: int, value: bytes) -> bytes:
    """A ZIP with bytes changed at an offset after the first record with that signature."""
    at = content.index(signature) + offset
    return content[:at] + value + content[at + len(value) :]


def test_the_file_begins_as_the_standards_want(sound_chart: Chart, tmp_path: Path) -> None:
    """The media type can be read at byte 38 without unpacking (EPUB OCF, OpenDocument part 2)."""
    path = tmp_path / "dusk.svchart"
    write_chart(sound_chart, path)
    content = path.read_bytes()
    assert content[:4] == b"PK\x03\x04"
    assert struct.unpack("<H", content[8:10]) == (0,)
    assert struct.unpack("<HH", content[26:30]) == (8, 0)
    assert content[30:38] == b"mimetype"
    assert content[38 : 38 + len(MEDIA_TYPE)] == MEDIA_TYPE
    assert content[38 + len(MEDIA_TYPE) :][:2] == b"PK"


def test_python_and_unzip_open_the_file(sound_chart: Chart, tmp_path: Path) -> None:
    """Other programs unpack it without complaint (references: Python's zipfile, unzip -t)."""
    path = tmp_path / "dusk.svchart"
    write_chart(sound_chart, path)
    with zipfile.ZipFile(path) as opened:
        assert opened.testzip() is None
        assert opened.namelist() == ["mimetype", "chart.json", "squares.txt"]
        assert {info.date_time for info in opened.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {info.extra for info in opened.infolist()} == {b""}
    if (unzip := shutil.which("unzip")) is None:
        pytest.skip("unzip is not installed")
    told = subprocess.run([unzip, "-t", str(path)], capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stdout
    assert "No errors detected" in told.stdout


def test_names_outside_ascii_are_marked_as_unicode() -> None:
    """A picture with an accent in its name keeps it (ZIP APPNOTE, bit 11)."""
    content = io.BytesIO()
    write_zip(content, {"pictures/ä.png": b"x"})
    with zipfile.ZipFile(content) as opened:
        (info,) = opened.infolist()
    assert (info.filename, info.flag_bits & 0x800) == ("pictures/ä.png", 0x800)
    assert read(content.getvalue()) == {"pictures/ä.png": b"x"}


def test_folders_and_hidden_entries_are_left_out() -> None:
    """A chart packed by hand opens although its packer added entries of its own."""
    packed = archive(("pictures/", b""), ("pictures/.DS_Store", b"x"), ("chart.json", b"{}"))
    assert read(packed) == {"chart.json": b"{}"}


@pytest.mark.parametrize("name", ["../x", "/x", "C:/x", "a\\b", "a/../../b", "a//b", "./x", "x" * 201])
def test_names_that_lead_elsewhere_are_refused(name: str) -> None:
    """No entry can be meant for a place outside the chart."""
    assert "holds the entry" in problems(archive((name, b"x")))


def test_a_name_cut_by_a_null_byte_is_refused() -> None:
    """A name that one program reads shorter than another is refused."""
    packed = archive(("chart.jsonAevil", b"x")).replace(b"chart.jsonAevil", b"chart.json\0evil")
    assert "must be made of plain names" in problems(packed)


@pytest.mark.filterwarnings("ignore:Duplicate name:UserWarning")
@pytest.mark.parametrize("second", ["chart.json", "CHART.json"])
def test_doubled_names_are_refused(second: str) -> None:
    """A chart cannot show one content to one program and another to the next."""
    assert f"“{second}” twice" in problems(archive(("chart.json", b"{}"), (second, b"[]")))


@pytest.mark.parametrize("kind", [stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR, stat.S_IFBLK, stat.S_IFSOCK])
def test_links_and_devices_are_refused(kind: int) -> None:
    """An entry that is a link to a file of hers is not followed."""

    def spoil(info: zipfile.ZipInfo) -> None:
        info.external_attr = (kind | 0o777) << 16

    assert "is a link or a device" in problems(archive(("chart.json", b"/etc/passwd"), spoil=spoil))


def test_encrypted_entries_are_refused() -> None:
    """A chart with a password is refused with a reason."""
    packed = patched(archive(("chart.json", b"{}")), b"PK\x01\x02", 8, b"\x01\x00")
    assert "is encrypted" in problems(packed)


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_other_ways_of_packing_are_refused(method: int) -> None:
    """Only what every language can unpack is a chart."""
    assert "other than deflate" in problems(archive(("chart.json", b"{}"), method=method))


def test_an_entry_that_declares_too_much_is_refused_before_it_is_inflated() -> None:
    """A compression bomb is known by its record: a kilobyte that claims ten megabytes."""
    packed = archive(("chart.json", b"\0" * 10_000_000))
    assert len(packed) < 20_000
    assert "inflates to 10,000,000 bytes, at most 1,000 are allowed" in problems(packed)


def test_an_entry_that_declares_too_little_inflates_no_further() -> None:
    """A bomb whose record lies gives no byte more than the record says, and is refused."""
    packed = archive(("chart.json", b"\0" * 10_000_000))
    for signature, offset in ((b"PK\x01\x02", 24), (b"PK\x03\x04", 22)):
        packed = patched(packed, signature, offset, struct.pack("<L", 500))
    assert "ZIP container cannot be followed" in problems(packed)


def test_many_entries_together_too_large_are_refused() -> None:
    """A bomb in many small parts is known by its sum."""
    caps = {"": MOST_OTHER_BYTES}
    entries = [(f"pictures/{number}.png", b"\0" * (MOST_OTHER_BYTES // 8)) for number in range(9)]
    with pytest.raises(FaultyChart, match="more than 268,435,456 bytes in all"):
        read(archive(*entries), caps)


def test_too_many_entries_are_refused_by_the_end_record() -> None:
    """Ten thousand and one entries are not even listed."""
    packed = archive(*((str(number), b"") for number in range(MOST_ENTRIES + 1)))
    assert "more than 10,000 entries" in problems(packed)
    lying = patched(packed, b"PK\x05\x06", 8, struct.pack("<HH", 1, 1))
    assert "more than 10,000 entries" in problems(lying)


def test_a_directory_too_large_is_not_read() -> None:
    """A list of contents that claims to be huge is refused by its claim."""
    packed = patched(archive(("a", b"x")), b"PK\x05\x06", 12, struct.pack("<L", 2**31))
    assert "more than 10,000 entries" in problems(packed)


def test_entries_that_share_bytes_are_refused() -> None:
    """A bomb that unpacks the same bytes many times over is known by its overlaps."""
    packed = archive(("a", b"x" * 100), ("b", b"x" * 100))
    first, second = packed.index(b"PK\x01\x02"), packed.rindex(b"PK\x01\x02")
    overlapping = packed[: second + 42] + packed[first + 42 : first + 46] + packed[second + 46 :]
    assert "lie over one another" in problems(overlapping)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "It is empty"),
        (b"\x89PNG\r\n\x1a\n" + b"\0" * 100, "It is not a chart"),
        (b"PK\x03\x04" + b"\0" * 100, "cut short or damaged"),
        (b"P", "It is not a chart"),
        (archive(("a", b"x"))[:-1], "cut short or damaged"),
        (archive(("a", b"x")) + b"more", "cut short or damaged"),
        (patched(archive(("a", b"x")), b"PK\x05\x06", 20, b"\x04\x00") + b"note", "cut short or damaged"),
        (patched(archive(("a", b"x")), b"PK\x05\x06", 20, b"\x04\x00"), "ZIP comment"),
        (archive(("a", b"x"))[:-22] + b"PK\x06\x07" + b"\0" * 16 + archive(("a", b"x"))[-22:], "ZIP64"),
        (archive(("a", b"x" * 900), method=zipfile.ZIP_STORED).replace(b"x", b"y"), "cannot be followed"),
        (patched(archive(("a", b"x")), b"PK\x01\x02", 42, b"\xff\xff\xff\x0f"), "lie over one another"),
        (patched(archive(("a", b"xyz")), b"PK\x03\x04", 26, b"\xff\xff"), "cannot be followed"),
    ],
)
def test_broken_containers_are_said_to_be_broken(content: bytes, sentence: str) -> None:
    """Whatever is wrong with the container, one sentence says so."""
    assert sentence in problems(content)
