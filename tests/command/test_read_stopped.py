"""Ctrl-C while a sheet is read, in a process of its own: one sentence, code 130, nothing half-written."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import cv2
import pytest

from stitchview import __main__
from stitchview.chart.fileformat import read_chart
from tests.paper.photographing import photographed
from tests.paper.printing import Paper, printed_sheets

pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals as a terminal sends them are of POSIX")

SENTENCE = "stitchview: The reading was stopped; no chart was written.\n"
STARTED = """
import signal, sys, threading
# Whoever starts the tests in the background may leave Ctrl-C ignored, and children inherit that.
signal.signal(signal.SIGINT, signal.default_int_handler)
# What is imported first cannot swallow the signal any more, as parts of numpy do.
import stitchview.sheets.adding, stitchview.sheets.keynaming
from stitchview.__main__ import main
from stitchview.command import reading
moment, wait, *arguments = sys.argv[1:]

class Bar(reading._Bar):
    def show(self, doing, share):
        if doing.startswith(moment):
            print("ready", flush=True)
            if wait == "wait":
                threading.Event().wait(300)

reading._Bar = Bar
sys.exit(main(arguments))
"""


@pytest.fixture(scope="module")
def scans(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Scans of two sheets that overlap."""
    folder = tmp_path_factory.mktemp("scans")
    printed = printed_sheets(56, 40, 8, 5, Paper(across=2, overlap=6, families=("shapes", "letters")))
    paths = []
    for at, page in enumerate(printed.pages):
        paths.append(folder / f"{at}.png")
        cv2.imwrite(str(paths[-1]), photographed(page, "scan", 7 + at).picture.colour[..., ::-1])
    return paths


def interrupted(
    moment: str, wait: str, scans: list[Path], folder: Path, surroundings: dict[str, str]
) -> tuple[int, str]:
    """Read the scans and press Ctrl-C when the progress comes to a moment: exit code and complaint."""
    arguments = ["read", *map(str, scans), "-o", "a.svchart"]
    with subprocess.Popen(
        [sys.executable, "-c", STARTED, moment, wait, *arguments],
        cwd=folder,
        env=surroundings,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        assert process.stdout.readline() == "ready\n"
        process.send_signal(signal.SIGINT)
        complaint = process.stderr.read()
        process.stdout.read()
    return process.returncode, complaint


@pytest.mark.parametrize(
    "moment", ["Opening", "Found the squares in 1", "Sorting", "Looking for back stitch", "Joining"]
)
def test_ctrl_c_at_any_moment_leaves_nothing(
    moment: str, scans: list[Path], tmp_path: Path, surroundings: dict[str, str]
) -> None:
    """Whatever is being done, the command says in one sentence that it stopped, and no file is left."""
    code, complaint = interrupted(moment, "wait", scans, tmp_path, surroundings)
    assert (code, complaint) == (__main__.INTERRUPTED, SENTENCE)
    assert not [path for path in tmp_path.iterdir() if path.is_file()]


def test_ctrl_c_in_the_thick_of_it_leaves_a_whole_chart_or_none(
    scans: list[Path], tmp_path: Path, surroundings: dict[str, str]
) -> None:
    """While all cores work the reading ends with nothing written; were it quicker, the chart is whole."""
    code, complaint = interrupted("Sorting", "go on", scans, tmp_path, surroundings)
    left = [path.name for path in tmp_path.iterdir() if path.is_file()]
    assert "Traceback" not in complaint
    if code == 0:
        assert left == ["a.svchart"]
        assert read_chart(tmp_path / "a.svchart").columns == 56
    else:
        assert (code, complaint, left) == (__main__.INTERRUPTED, SENTENCE, [])
