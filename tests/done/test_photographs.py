"""Photographs of the cloth lie beside the chart, travel with the piece, and are told when they are gone."""

import errno
import hashlib
import io
import os
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from stitchview.chart.fileformat import write_chart
from stitchview.chart.model import Chart
from stitchview.done import photographs
from stitchview.done.ids import compose
from stitchview.done.joining import Piece
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import noting
from stitchview.done.photographs import PhotoState, add_photo, find_photo, photo_folder
from stitchview.done.piecefile import pack, unpack
from stitchview.done.sittingnotes import ClothPhoto
from stitchview.done.sittings import Sitting
from stitchview.errors import LayerError, StitchviewError

if TYPE_CHECKING:
    from tests.done.conftest import Evening

FIRST = compose(int(datetime(2026, 11, 20, 20, 0, tzinfo=UTC).timestamp() * 1000), 1)
SITTING = Sitting(FIRST, FIRST, 1, 0)


@pytest.fixture
def piece(evening: "Evening", small_chart: Callable[[], Chart]) -> Piece:
    """A chart on the disk, with a layer of one evening."""
    chart = replace(small_chart(), identity="0b8f4a52-6d0e-4c1b-9a37-5f2c8d1e6b90")
    write_chart(chart, evening.chart_path)
    return Piece(evening.chart_path, chart, evening.elsewhere)


def photograph(folder: Path, name: str = "DSC 0017.JPG", kind: str = "JPEG") -> Path:
    path = folder / name
    Image.effect_noise((40, 30), 60).convert("RGB").save(path, kind)
    return path


def test_a_copy_lies_beside_the_chart(piece: Piece, tmp_path: Path) -> None:
    """Byte for byte, named after its day and content; the card can be taken out of the reader."""
    source = photograph(tmp_path)
    content = source.read_bytes()
    photo = add_photo(piece, source, SITTING, UTC)
    source.unlink()
    path = piece.path.parent / "harbour photographs" / photo.file
    assert path.read_bytes() == content
    assert photo.file == f"2026-11-20 {hashlib.sha256(content).hexdigest()[:12]}.jpg"
    assert (photo.stroke, photo.size) == (FIRST.hex(), len(content))
    found = find_photo(piece, photo)
    assert (found.state, found.path, found.sentence) == (PhotoState.THERE, path, "")


def test_gone_altered_and_renamed(piece: Piece, tmp_path: Path) -> None:
    """Each is said as it is; a folder with an older name of the chart is looked into."""
    photo = add_photo(piece, photograph(tmp_path), SITTING, UTC)
    folder = photo_folder(piece)
    folder.rename(folder.with_name("old harbour photographs"))
    assert find_photo(piece, photo).state is PhotoState.THERE
    path = folder.with_name("old harbour photographs") / photo.file
    path.write_bytes(path.read_bytes() + b"more")
    altered = find_photo(piece, photo)
    assert (altered.state, altered.path) == (PhotoState.ALTERED, path)
    assert "was altered" in altered.sentence
    path.unlink()
    gone = find_photo(piece, photo)
    assert (gone.state, gone.path) == (PhotoState.MISSING, None)
    assert gone.sentence == f"The photograph “{photo.file}” is not there any more."


@pytest.mark.parametrize("content", [b"", b"a shopping list", b"\xff\xd8\xff\xe0 half a picture"])
def test_what_is_no_photograph_is_refused(piece: Piece, tmp_path: Path, content: bytes) -> None:
    """One sentence, and no folder is left behind."""
    source = tmp_path / "list.jpg"
    source.write_bytes(content)
    with pytest.raises(StitchviewError, match=r"“list\.jpg” is") as refused:
        add_photo(piece, source, SITTING)
    assert refused.value.remedy
    assert not photo_folder(piece).exists()


def test_a_photograph_that_is_cut_off_or_gone_is_refused(piece: Piece, tmp_path: Path) -> None:
    """A PNG whose end is missing, a name that nobody has, and a folder."""
    source = photograph(tmp_path, "cut.png", "PNG")
    source.write_bytes(source.read_bytes()[:200])
    for path in (source, tmp_path / "nowhere.jpg", tmp_path):
        with pytest.raises(StitchviewError):
            add_photo(piece, path, SITTING)


def test_beside_a_chart_on_a_stick_that_is_locked_it_lies_in_her_folder(
    piece: Piece, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nothing can be written beside the chart; it is found there, and nothing else is told."""
    locked, real = piece.path.parent, Path.mkdir

    def mkdir(self: Path, mode: int = 0o777, parents: bool = False, exist_ok: bool = False) -> None:
        if self.is_relative_to(locked):
            raise OSError(errno.EROFS, os.strerror(errno.EROFS))
        real(self, mode, parents, exist_ok)

    monkeypatch.setattr(Path, "mkdir", mkdir)
    photo = add_photo(piece, photograph(tmp_path), SITTING, UTC)
    found = find_photo(piece, photo)
    assert found.state is PhotoState.THERE
    assert found.path is not None
    assert found.path.is_relative_to(piece.fallback_folder)


def test_a_full_disk_says_so_and_leaves_nothing(
    piece: Piece, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No half a photograph stays, whichever folder was tried."""

    def full(path: Path, content: bytes) -> None:
        raise StitchviewError(f"“{path.name}” could not be written (no space left on device).", "Free some.")

    monkeypatch.setattr(photographs, "write_bytes", full)
    with pytest.raises(StitchviewError, match="no space left"):
        add_photo(piece, photograph(tmp_path), SITTING)
    assert not list(photo_folder(piece).iterdir())


def noted(evening: "Evening", piece: Piece, *sources: Path) -> None:
    opened = evening.open(piece.chart)
    photos = [add_photo(piece, each, SITTING, UTC) for each in sources]
    notes = opened.marks.notes.putting(*photos)
    assert notes is not None
    change = noting(piece.chart, notes)
    opened.marks.apply(change)
    opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    evening.close(opened)


def test_a_packed_piece_takes_its_photographs_along(evening: "Evening", piece: Piece, tmp_path: Path) -> None:
    """In the ZIP, out again byte for byte, and found by the notes there; one that is gone is told."""
    sources = [photograph(tmp_path, f"{number}.png", "PNG") for number in range(3)]
    noted(evening, piece, *sources)
    gone = next(photo_folder(piece).glob("*"))
    gone.unlink()
    packed = pack(piece, tmp_path / "harbour.svpiece")
    assert (packed.strokes, packed.photos, packed.missing) == (1, 2, (gone.name,))
    with zipfile.ZipFile(tmp_path / "harbour.svpiece") as archive:
        assert sum(name.startswith("photographs/") for name in archive.namelist()) == 2
    there = unpack(tmp_path / "harbour.svpiece", tmp_path / "laptop", tmp_path / "data")
    assert there.photos == 2
    other = Piece(there.chart, piece.chart, tmp_path / "data")
    opened = open_layer(there.chart, piece.chart, tmp_path / "data")
    states = {each.file: find_photo(other, each).state for each in opened.marks.notes.photos}
    opened.layer.close()
    assert [state for name, state in states.items() if name != gone.name] == [PhotoState.THERE] * 2
    assert states[gone.name] is PhotoState.MISSING


def test_unpacking_writes_over_no_photograph_and_no_strange_file(
    evening: "Evening", piece: Piece, tmp_path: Path
) -> None:
    """A picture of that name that is there stays; entries that are no pictures are passed over."""
    noted(evening, piece, photograph(tmp_path))
    packed = tmp_path / "harbour.svpiece"
    pack(piece, packed)
    content = packed.read_bytes()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(packed, "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name))
        new.writestr("photographs/run.desktop", b"[Desktop Entry]")
    assert unpack(packed, tmp_path / "one", tmp_path / "data").photos == 1
    assert [path.suffix for path in (tmp_path / "one" / "harbour photographs").iterdir()] == [".jpg"]
    folder = tmp_path / "two" / "harbour photographs"
    folder.mkdir(parents=True)
    name = next(photo_folder(piece).iterdir()).name
    (folder / name).write_bytes(b"hers")
    with pytest.raises(LayerError, match="is there already"):
        unpack(packed, tmp_path / "two", tmp_path / "data")
    assert (folder / name).read_bytes() == b"hers"


def test_a_telephones_heic_is_kept_as_it_is(piece: Piece, tmp_path: Path) -> None:
    """What telephones take is added where pillow-heif is installed, byte for byte."""
    heif = pytest.importorskip("pillow_heif", reason="the extra 'heic' is not installed")
    heif.register_heif_opener()
    source = photograph(tmp_path, "IMG 1.HEIC", "HEIF")
    photo = add_photo(piece, source, SITTING, UTC)
    assert photo.file.endswith(".heic")
    found = find_photo(piece, photo)
    assert found.path is not None
    with photographs.opened_photo(found.path.read_bytes()) as image:
        assert image.size == (40, 30)


def test_without_its_library_heic_is_refused_in_a_sentence(
    piece: Piece, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It names what can be chosen."""
    monkeypatch.setattr(photographs, "register_heif_opener", None)
    source = tmp_path / "IMG 1.HEIC"
    source.write_bytes(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(500))
    with pytest.raises(StitchviewError, match="no photograph that can be shown"):
        add_photo(piece, source, SITTING, UTC)


@pytest.mark.parametrize("name", ["C:x.jpg", "C:", "a:b", "../x", "x/y", "x\\y"])
def test_a_name_that_leads_elsewhere_is_none(name: str) -> None:
    """Also a drive of Windows: “C:x” would be looked for in another folder there."""
    with pytest.raises(ValueError, match="plain name"):
        ClothPhoto("p", FIRST.hex(), name, "ab" * 32, 5)
