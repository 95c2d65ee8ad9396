"""Pictures of every kind are opened upright; what cannot be read is refused with what to do instead."""

import struct
import zlib
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, features
from reportlab.lib.pdfencrypt import StandardEncryption  # type: ignore[import-untyped]
from reportlab.lib.units import inch  # type: ignore[import-untyped]
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

from stitchview.sheets.opening import LEAST_SIDE, MOST_PIXELS, open_pictures, picture_count
from stitchview.sheets.papererror import PaperError

WIDE, HIGH = 720, 540
# EXIF 2.32, tag 0x0112: where the stored first row and column belong, undone with numpy here.
STORED = {
    1: lambda seen: seen,
    2: lambda seen: seen[:, ::-1],
    3: lambda seen: seen[::-1, ::-1],
    4: lambda seen: seen[::-1],
    5: lambda seen: seen.transpose(1, 0, 2),
    6: lambda seen: np.rot90(seen, 1),
    7: lambda seen: seen[::-1, ::-1].transpose(1, 0, 2),
    8: lambda seen: np.rot90(seen, -1),
}


@pytest.fixture
def paper() -> NDArray[np.uint8]:
    """A picture whose four quarters differ in colour: red, green, blue and grey."""
    pixels = np.zeros((HIGH, WIDE, 3), np.uint8)
    pixels[: HIGH // 2, : WIDE // 2] = (200, 30, 20)
    pixels[: HIGH // 2, WIDE // 2 :] = (20, 180, 40)
    pixels[HIGH // 2 :, : WIDE // 2] = (30, 40, 210)
    pixels[HIGH // 2 :, WIDE // 2 :] = (128, 128, 128)
    return pixels


def off_by(found: NDArray[np.uint8], wanted: NDArray[np.uint8]) -> float:
    """How far two pictures of one size differ on average, in grey levels."""
    assert found.shape == wanted.shape
    return float(np.abs(found.astype(int) - wanted).mean())


@pytest.mark.parametrize("ending", ["jpg", "png", "tif", "webp", "bmp", "gif"])
def test_each_kind_of_picture_is_opened(paper: NDArray[np.uint8], ending: str, tmp_path: Path) -> None:
    """JPEG, PNG, TIFF and others come as the colours that were saved."""
    path = tmp_path / f"sheet.{ending}"
    Image.fromarray(paper).save(path)
    (picture,) = open_pictures(path)
    assert picture_count(path) == 1
    assert (picture.name, picture.page) == (path.name, 1)
    assert off_by(picture.colour, paper) < 4
    assert picture.grey.shape == (HIGH, WIDE)
    # ITU-R BT.601: Y = 0.299 R + 0.587 G + 0.114 B
    assert picture.grey[5, 5] == pytest.approx(0.299 * 200 + 0.587 * 30 + 0.114 * 20, abs=3)


def test_a_photograph_in_heic_is_opened(paper: NDArray[np.uint8], tmp_path: Path) -> None:
    """The phone's HEIC is opened where the extra for it is installed."""
    heif = pytest.importorskip("pillow_heif", reason="the extra 'heic' is not installed")
    heif.register_heif_opener()
    path = tmp_path / "sheet.heic"
    Image.fromarray(paper).save(path)
    (picture,) = open_pictures(path)
    assert off_by(picture.colour, paper) < 8


def test_without_its_library_heic_is_explained(
    paper: NDArray[np.uint8], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the extra is missing, HEIC is named and JPEG proposed."""
    monkeypatch.setattr("stitchview.sheets.opening.register_heif_opener", None)
    path = tmp_path / "sheet.heic"
    # ISO/IEC 14496-12: a file type box begins with its length, "ftyp" and the major brand.
    path.write_bytes(struct.pack(">I", 24) + b"ftypheic\0\0\0\0mif1heic" + bytes(500))
    with pytest.raises(PaperError, match=r"HEIC.*JPEG"):
        list(open_pictures(path))


@pytest.mark.parametrize("orientation", STORED)
@pytest.mark.parametrize("ending", ["jpg", "tif", "png"])
def test_a_turned_photograph_comes_upright(
    paper: NDArray[np.uint8], orientation: int, ending: str, tmp_path: Path
) -> None:
    """All eight ways a camera may have been held are undone."""
    path = tmp_path / f"held.{ending}"
    exif = Image.Exif()
    exif[0x0112] = orientation
    Image.fromarray(np.ascontiguousarray(STORED[orientation](paper))).save(path, exif=exif)
    (picture,) = open_pictures(path)
    assert off_by(picture.colour, paper) < 4


def test_every_frame_of_a_tiff_is_a_page(paper: NDArray[np.uint8], tmp_path: Path) -> None:
    """A scanner's TIFF of several sheets gives them all, numbered."""
    path = tmp_path / "sheets.tif"
    other = np.ascontiguousarray(np.rot90(paper))
    Image.fromarray(paper).save(path, save_all=True, append_images=[Image.fromarray(other)])
    pictures = list(open_pictures(path))
    assert picture_count(path) == 2
    assert [picture.page for picture in pictures] == [1, 2]
    assert off_by(pictures[0].colour, paper) == 0
    assert off_by(pictures[1].colour, other) == 0


def test_a_preview_behind_a_photograph_is_not_a_page(paper: NDArray[np.uint8], tmp_path: Path) -> None:
    """A phone's second small picture in the same JPEG is passed over."""
    path = tmp_path / "phone.jpg"
    small = Image.fromarray(paper).resize((90, 68))
    Image.fromarray(paper).save(path, format="MPO", save_all=True, append_images=[small])
    assert [picture.colour.shape for picture in open_pictures(path)] == [(HIGH, WIDE, 3)]


@pytest.mark.parametrize("mode", ["1", "L", "P", "CMYK", "I;16", "RGBA", "LA"])
def test_each_way_to_store_colours_is_understood(paper: NDArray[np.uint8], mode: str, tmp_path: Path) -> None:
    """Black and white, grey, 16 bit, palettes, printers' colours and see-through pictures are read."""
    path = tmp_path / ("sheet.jpg" if mode == "CMYK" else "sheet.tif" if mode == "1" else "sheet.png")
    image = Image.fromarray(paper)
    grey = np.asarray(image.convert("L"))
    if mode == "I;16":
        Image.fromarray(grey.astype(np.uint16) * 257).save(path)
    else:
        image.convert(mode).save(path)
    (picture,) = open_pictures(path)
    assert abs(float(picture.grey.mean()) - float(grey.mean())) < 3


def test_see_through_places_are_white_paper(tmp_path: Path) -> None:
    """A drawing on nothing is read as a drawing on white paper."""
    path = tmp_path / "drawing.png"
    Image.new("RGBA", (WIDE, HIGH), (0, 0, 0, 0)).save(path)
    (picture,) = open_pictures(path)
    assert picture.grey.min() == 255


def pdf(path: Path, pages: int = 1, **more: object) -> Path:
    """A PDF of 6 x 4 inch pages with a red square inch that begins 1 inch from the left and the top."""
    canvas = Canvas(str(path), pagesize=(6 * inch, 4 * inch), **more)
    for _ in range(pages):
        canvas.setFillColorRGB(1, 0, 0)
        canvas.rect(inch, 2 * inch, inch, inch, stroke=0, fill=1)
        canvas.showPage()
    canvas.save()
    return path


def test_pages_of_a_pdf_come_at_300_dots_an_inch(tmp_path: Path) -> None:
    """Each page is drawn with 300 dots per inch, in its colours, and numbered."""
    path = pdf(tmp_path / "chart.pdf", pages=2)
    pictures = list(open_pictures(path))
    assert picture_count(path) == 2
    assert [picture.page for picture in pictures] == [1, 2]
    for picture in pictures:
        assert picture.grey.shape == pytest.approx((1200, 1800), abs=1)
        red = (picture.colour == (255, 0, 0)).all(axis=2)
        rows, columns = np.nonzero(red)
        assert (rows.min(), columns.min()) == pytest.approx((300, 300), abs=1)
        assert (rows.max(), columns.max()) == pytest.approx((599, 599), abs=1)
        assert picture.colour[10, 10].tolist() == [255, 255, 255]


def test_a_huge_page_is_drawn_smaller(tmp_path: Path) -> None:
    """A page of two metres is drawn with fewer dots, so that it fits in memory."""
    path = tmp_path / "poster.pdf"
    canvas = Canvas(str(path), pagesize=(2000 / 25.4 * inch, 2000 / 25.4 * inch))
    canvas.drawString(inch, inch, "Harbour at dusk")
    canvas.save()
    (picture,) = open_pictures(path)
    assert 0.9 * MOST_PIXELS < picture.grey.size <= 1.001 * MOST_PIXELS


def test_a_pdf_with_a_password_is_refused(tmp_path: Path) -> None:
    """What the password keeps shut is told, with a way round."""
    path = pdf(tmp_path / "locked.pdf", encrypt=StandardEncryption("dusk"))
    with pytest.raises(PaperError, match=r"locked.pdf is protected by a password\. Open it"):
        list(open_pictures(path))
    with pytest.raises(PaperError, match="password"):
        picture_count(path)


def jpeg(pixels: NDArray[np.uint8]) -> bytes:
    """Pixels as the bytes of a JPEG file."""
    file = BytesIO()
    Image.fromarray(pixels).save(file, "JPEG")
    return file.getvalue()


def huge_png(wide: int, high: int) -> bytes:
    """The first bytes of a PNG of this size (PNG specification, 11.2.2 IHDR)."""
    head = b"IHDR" + struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)
    data = b"IDAT" + zlib.compress(b"\0" * 4096)
    chunks = [
        struct.pack(">I", len(part) - 4) + part + struct.pack(">I", zlib.crc32(part)) for part in (head, data)
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


BAD = {
    "empty.jpg": (b"", "is empty"),
    "letter.jpg": (b"Dear friend, the harbour is quiet at dusk.", "not a picture"),
    "cut.pdf": (b"%PDF-1.7\n1 0 obj", "not a whole PDF"),
    "cut.png": (huge_png(800, 800), "damaged"),
    "200-megapixels.png": (huge_png(16_000, 12_500), "more than 89 megapixels"),
    "a-bomb.png": (huge_png(60_000, 60_000), "more than 89 megapixels"),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_files_get_one_clear_sentence(name: str, tmp_path: Path) -> None:
    """The file is named, what is wrong is said, and what to do."""
    content, wrong = BAD[name]
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(PaperError, match=wrong) as refused:
        list(open_pictures(path))
    assert refused.value.what.startswith(name)
    assert refused.value.remedy


def test_a_truncated_photograph_is_refused(paper: NDArray[np.uint8], tmp_path: Path) -> None:
    """A JPEG that was not copied to its end is not read as if it were whole."""
    whole = jpeg(paper)
    path = tmp_path / "half.jpg"
    path.write_bytes(whole[: len(whole) * 2 // 3])
    with pytest.raises(PaperError, match=r"half.jpg is damaged or was not copied to its end\. Copy it again"):
        list(open_pictures(path))


def test_a_thumbnail_is_refused(paper: NDArray[np.uint8], tmp_path: Path) -> None:
    """A preview of 300 pixels is sent back for the whole picture."""
    path = tmp_path / "thumb.jpg"
    Image.fromarray(paper).resize((300, 225)).save(path)
    with pytest.raises(PaperError, match=r"only 300 x 225 pixels.*Use the picture as"):
        list(open_pictures(path))
    assert LEAST_SIDE > 300


def test_missing_files_and_folders_are_told(tmp_path: Path) -> None:
    """A name that is not there, and a folder, are told as such."""
    with pytest.raises(PaperError, match=r"gone\.jpg is not there"):
        list(open_pictures(tmp_path / "gone.jpg"))
    with pytest.raises(PaperError, match="is a folder"):
        picture_count(tmp_path)


@pytest.mark.parametrize("ending", ["jpg", "png", "tif", "webp", "gif", "bmp", "pdf"])
def test_damage_anywhere_never_ends_in_a_fault(paper: NDArray[np.uint8], ending: str, tmp_path: Path) -> None:
    """Files with bytes changed or missing by chance are read, or refused in a sentence."""
    if ending == "webp" and not features.check("webp"):
        pytest.skip("this Pillow has no WebP")
    path = tmp_path / f"sheet.{ending}"
    if ending == "pdf":
        pdf(path)
    else:
        Image.fromarray(paper[::1, ::1]).save(path)
    whole = np.frombuffer(path.read_bytes(), np.uint8)
    random = np.random.default_rng(5)
    refused = []
    for _ in range(60):
        bad = whole.copy()
        early = int(min(len(bad), random.choice([64, 400, len(bad)])))
        bad[random.integers(0, early, 4)] = random.integers(0, 256, 4)
        path.write_bytes(
            bad[: random.integers(1, len(bad) + 1) if random.random() < 0.5 else len(bad)].tobytes()
        )
        try:
            list(open_pictures(path))
        except PaperError as fault:
            refused.append(fault)
    assert refused
    assert all(fault.what.startswith((path.name, "Page")) and fault.remedy for fault in refused)
