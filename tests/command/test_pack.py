"""`pack` and `unpack`: everything of a piece in one file, and out again; hostile files do no harm."""

import io
import json
import os
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.harbour.making import make_harbour
from stitchview.done.change import Selection
from stitchview.done.keeper import Keeper
from stitchview.done.layerfile import open_layer
from stitchview.done.looking import look_into
from stitchview.done.marks import change_to


@pytest.fixture
def piece_path(say: Callable[..., Any], harbour_path: Path) -> Path:
    """The harbour after an evening, packed."""
    chart = read_chart(harbour_path)
    opened = open_layer(harbour_path, chart, harbour_path.parent / "elsewhere", "sofa")
    keeper = Keeper(opened, lambda _: None, lambda _: None)
    change = change_to(opened.marks, Selection(np.flatnonzero(chart.squares.ravel())[:70]), 1)
    assert change is not None
    opened.marks.apply(change)
    keeper.put(opened.history.record(change))
    assert keeper.close() is None
    path = harbour_path.with_suffix(".svpiece")
    told = say("pack", harbour_path, path)
    assert told.out == "Packed “harbour.svchart” with 1 stroke into “harbour.svpiece”.\n", told.complaint
    return path


def test_a_piece_comes_out_as_it_went_in(
    say: Callable[..., Any], harbour_path: Path, piece_path: Path, tmp_path: Path
) -> None:
    """Chart byte for byte, every stroke, and the kept copy; every entry is what another ZIP reader finds."""
    told = say("unpack", piece_path, tmp_path / "new" / "place")
    assert told.out == "Unpacked “harbour.svchart” and “harbour.svdone” with 1 stroke.\n"
    folder = tmp_path / "new" / "place"
    assert (folder / "harbour.svchart").read_bytes() == harbour_path.read_bytes()
    assert look_into(folder / "harbour.svdone").ids == look_into(harbour_path.with_suffix(".svdone")).ids
    assert json.loads(say("facts", folder / "harbour.svchart", "--json").out)["done"]["done"] == 70
    assert sorted(path.name for path in folder.iterdir()) == ["harbour.svchart", "harbour.svdone"]
    with zipfile.ZipFile(piece_path) as archive:
        assert archive.testzip() is None
        assert set(archive.namelist()) == {
            "mimetype",
            "piece.json",
            "chart.svchart",
            "done.svdone",
            "kept.svdone",
        }


def test_nothing_is_written_over(say: Callable[..., Any], harbour_path: Path, piece_path: Path) -> None:
    """Where the chart or the layer is already, all stays as it is; nor is a packed file replaced unasked."""
    contents = {path: path.read_bytes() for path in harbour_path.parent.glob("harbour*")}
    for told in (
        say("unpack", piece_path, harbour_path.parent),
        say("pack", harbour_path, piece_path),
        say("pack", harbour_path, harbour_path, "--replace"),
    ):
        assert (told.code, told.out, told.complaint.count("\n")) == (1, "", 1)
    assert {path: path.read_bytes() for path in contents} == contents


def test_a_file_is_no_folder_to_unpack_into(say: Callable[..., Any], piece_path: Path) -> None:
    """Where a file is named for the folder, that is what she is told, not that the disk is full."""
    told = say("unpack", piece_path, piece_path)
    assert told.complaint == (
        "stitchview: “harbour.svpiece” is a file, not a folder. Choose another folder.\n"
    )


def test_a_damaged_layer_goes_along_as_it_is(
    say: Callable[..., Any], harbour_path: Path, piece_path: Path, tmp_path: Path
) -> None:
    """What can be read of it is saved where it comes out."""
    layer = harbour_path.with_suffix(".svdone")
    content = b"not the header" + layer.read_bytes()[14:]
    layer.write_bytes(content)
    assert say("pack", harbour_path, piece_path, "--replace").code == 0
    assert say("unpack", piece_path, tmp_path / "new").code == 0
    assert (tmp_path / "new" / "harbour.svdone").read_bytes() == content


def with_entries(content: bytes, **altered: bytes | None) -> bytes:
    """The packed piece with entries altered, added or left out."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        entries = {name: archive.read(name) for name in archive.namelist()}
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, entry in (entries | altered).items():
            if entry is not None:
                archive.writestr(name, entry)
    return out.getvalue()


def described(name: object, form: object = 1) -> bytes:
    return json.dumps({"format": form, "name": name}).encode()


@pytest.mark.parametrize(
    "altered",
    [
        {"../evil.txt": b"x"},
        {"C:\\evil.txt": b"x"},
        {"DONE.svdone": b"x"},
        {"mimetype": b"application/zip"},
        {"piece.json": None},
        {"chart.svchart": None},
        {"chart.svchart": b"moths"},
        {"piece.json": b"[" * 90_000},
        {"piece.json": bytes(3 << 20)},
        *[{"piece.json": described(name)} for name in ("../up", "a/b", "", ".hidden", 7, None, "n" * 250)],
        {"piece.json": described("harbour", 2)},
        {"piece.json": described("harbour", "1")},
    ],
)
def test_hostile_pieces_are_refused(
    say: Callable[..., Any], piece_path: Path, tmp_path: Path, altered: dict[str, bytes | None]
) -> None:
    """One sentence; not a file is written, in the folder or beside it."""
    before = sorted(tmp_path.rglob("*"))
    piece_path.write_bytes(with_entries(piece_path.read_bytes(), **altered))
    told = say("unpack", piece_path, tmp_path / "new")
    assert (told.code, told.out, told.complaint.count("\n")) == (1, "", 1)
    assert "no fault of yours" not in told.complaint
    left = [path for path in sorted(tmp_path.rglob("*")) if path not in before]
    assert left in ([], [tmp_path / "new"])


def test_a_piece_cut_off_anywhere_is_refused(
    say: Callable[..., Any], piece_path: Path, tmp_path: Path
) -> None:
    """Forty cuts: one sentence each, and nothing is written."""
    content = piece_path.read_bytes()
    for size in range(0, len(content), len(content) // 40):
        piece_path.write_bytes(content[:size])
        told = say("unpack", piece_path, tmp_path / "new")
        assert (told.code, told.out, told.complaint.count("\n")) == (1, "", 1)
        assert not (tmp_path / "new").exists()


def test_marks_of_another_chart_are_refused(
    say: Callable[..., Any], piece_path: Path, tmp_path: Path
) -> None:
    """Somebody put another chart into the file."""
    write_chart(make_harbour(20, 20, 5, 77), tmp_path / "boat.svchart")
    chart = (tmp_path / "boat.svchart").read_bytes()
    piece_path.write_bytes(with_entries(piece_path.read_bytes(), **{"chart.svchart": chart}))
    told = say("unpack", piece_path, tmp_path / "new")
    assert "holds the marks of another chart" in told.complaint
    assert list((tmp_path / "new").iterdir()) == []


def test_a_disk_that_is_full_while_unpacking_leaves_nothing_half(
    say: Callable[..., Any], piece_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each time the disk is asked to keep a file it may refuse: neither chart nor layer is there then."""
    real, steps = os.fsync, 0

    def fsync(handle: int) -> None:
        nonlocal steps
        steps -= 1
        if steps == 0:
            raise OSError(28, "No space left on device")
        real(handle)

    monkeypatch.setattr(os, "fsync", fsync)
    refused = 0
    for number in range(1, 20):
        steps, folder = number, tmp_path / f"place {number}"
        told = say("unpack", piece_path, folder)
        left = sorted(path.suffix for path in folder.iterdir())
        assert left == ([] if told.code else [".svchart", ".svdone"])
        refused += told.code
    assert refused >= 5
