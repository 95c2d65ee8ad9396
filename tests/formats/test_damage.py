"""Damaged files: whatever was cut off or altered, there is a chart or a sentence, never anything else."""

import io
import random
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stitchview.chart.containers.entrynames import MEDIA_TYPE
from stitchview.chart.csvtables import read_csv, write_csv
from stitchview.chart.entries.decoding import decode
from stitchview.chart.entries.encoding import encode
from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart
from stitchview.chart.pixelpng import read_png, write_png
from stitchview.chart.problems import FaultyChart, Findings
from stitchview.errors import ChartError


@pytest.fixture
def whole(sound_chart: Chart, png: Callable[..., bytes], tmp_path: Path) -> bytes:
    """The bytes of a sound chart with a picture."""
    path = tmp_path / "whole.svchart"
    write_chart(replace(sound_chart, attachments={"pictures/ä.png": png(), "later.bin": bytes(2000)}), path)
    return path.read_bytes()


def judged(read: Callable[[], Chart]) -> tuple[Chart | None, str]:
    """The chart or the sentence that comes of reading; any other error is let through."""
    try:
        return read(), ""
    except ChartError as error:
        return None, error.what


def is_chart_or_sentence(path: Path, content: bytes) -> bool:
    """Whether damaged bytes still open; when they do not, a sentence must say so."""
    path.write_bytes(content)
    chart, sentence = judged(lambda: read_chart(path))
    assert sentence if chart is None else chart.rows
    return chart is not None


def test_a_file_cut_off_anywhere_is_refused(whole: bytes, tmp_path: Path) -> None:
    """A download broken off after every 512 bytes, or one byte before the end, does not open."""
    for length in (*range(0, len(whole), 512), len(whole) - 1):
        assert not is_chart_or_sentence(tmp_path / "cut.svchart", whole[:length])
    assert is_chart_or_sentence(tmp_path / "cut.svchart", whole)


def test_every_altered_byte_gives_a_chart_or_a_sentence(whole: bytes, tmp_path: Path) -> None:
    """Each byte of the file in turn is altered, by one bit and wholly."""
    refused = 0
    for position in range(len(whole)):
        for flip in (1 << position % 8, 0xFF):
            altered = bytearray(whole)
            altered[position] ^= flip
            refused += not is_chart_or_sentence(tmp_path / "altered.svchart", bytes(altered))
    assert refused > len(whole)


def test_many_altered_bytes_give_a_chart_or_a_sentence(whole: bytes, tmp_path: Path) -> None:
    """Several bytes at once, zeroed blocks, doubled and exchanged pieces."""
    chance = random.Random(1886)
    for _ in range(400):
        altered = bytearray(whole)
        for _ in range(chance.randint(1, 8)):
            start = chance.randrange(len(altered))
            piece = altered[start : start + chance.randint(1, 64)]
            at = chance.randrange(len(altered))
            altered[at : at + len(piece)] = chance.choice((piece, bytes(len(piece)), b"", piece * 2))
        is_chart_or_sentence(tmp_path / "altered.svchart", bytes(altered))


@settings(max_examples=300)
@given(data=st.data())
def test_altered_descriptions_give_a_chart_or_a_sentence(data: st.DataObject, sound_chart: Chart) -> None:
    """The text inside, altered where the container is sound, is judged just as safely."""
    entries = encode(sound_chart, Findings("sound"))
    name = data.draw(st.sampled_from(("chart.json", "squares.txt")))
    content = entries[name]
    start = data.draw(st.integers(0, len(content)))
    end = data.draw(st.integers(start, min(len(content), start + 9)))
    putting = st.one_of(
        st.binary(max_size=4), st.sampled_from((b"null", b"[", b"}", b"1e999", b"-1", b"\\u0000", b'""'))
    )
    entries[name] = content[:start] + data.draw(putting) + content[end:]
    chart, sentence = judged(lambda: decode(entries, Findings("altered")))
    assert sentence if chart is None else chart.rows


@settings(max_examples=200)
@given(
    st.dictionaries(
        st.sampled_from(("chart.json", "squares.txt", "pictures/a.png", "../x")), st.binary(max_size=60)
    )
)
def test_any_bytes_in_a_sound_container_give_a_sentence(entries: dict[str, bytes]) -> None:
    """A well-formed container with nonsense in it is refused."""
    packed = {"chart.json": b"{}", "squares.txt": b"."} | entries
    with pytest.raises(FaultyChart):
        decode({"mimetype": MEDIA_TYPE, **packed}, Findings("nonsense"))


def test_a_container_altered_but_for_its_checksums_gives_a_sentence(whole: bytes, tmp_path: Path) -> None:
    """Where a hostile hand mends every checksum, the contents are judged all the same."""
    chance = random.Random(7)
    with zipfile.ZipFile(io.BytesIO(whole)) as opened:
        entries = {name: opened.read(name) for name in opened.namelist()}
    for _ in range(200):
        altered = dict(entries)
        name = chance.choice(("chart.json", "squares.txt"))
        content = bytearray(altered[name])
        content[chance.randrange(len(content))] = chance.randrange(256)
        altered[name] = bytes(content)
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w") as made:
            for entry, data in altered.items():
                made.writestr(entry, data)
        is_chart_or_sentence(tmp_path / "altered.svchart", packed.getvalue())


def test_damaged_tables_and_pictures_give_a_chart_or_a_sentence(sound_chart: Chart, tmp_path: Path) -> None:
    """The forms other programs know are read just as safely, cut off or altered."""
    picture, squares, key = (tmp_path / name for name in ("a.png", "a.csv", "a-key.csv"))
    write_png(sound_chart, picture)
    write_csv(sound_chart, squares, key)
    for path in (picture, squares, key):
        content, chance = path.read_bytes(), random.Random(path.name)
        for turn in range(2 * len(content)):
            altered = bytearray(content[: turn + 1] if turn < len(content) else content)
            altered[chance.randrange(len(altered))] ^= chance.randrange(1, 256)
            path.write_bytes(altered)
            chart, sentence = judged(lambda: read_png(picture).chart)
            assert sentence if chart is None else chart.rows
            chart, sentence = judged(lambda: read_csv(squares, key).chart)
            assert sentence if chart is None else chart.rows
        path.write_bytes(content)
