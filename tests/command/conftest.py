"""Running commands, in this process and in one of their own."""

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from stitchview.__main__ import main
from stitchview.chart.fileformat import write_chart
from stitchview.chart.harbour.making import make_harbour


@dataclass(frozen=True)
class Told:
    """What a command told: its exit code, its lines, and its complaint."""

    code: int
    out: str
    complaint: str

    @property
    def lines(self) -> list[str]:
        return self.out.splitlines()


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Callable[..., Told]:
    """Run a command in this process, as `say("facts", path)`."""

    def run(*arguments: object) -> Told:
        code = main([str(argument) for argument in arguments])
        out, complaint = capsys.readouterr()
        return Told(code, out, complaint)

    return run


@pytest.fixture
def surroundings(repository: Path) -> dict[str, str]:
    """The environment for a process of its own, which finds the program wherever it stands."""
    paths = [str(repository), *filter(None, [os.environ.get("PYTHONPATH")])]
    return {**os.environ, "PYTHONPATH": os.pathsep.join(paths)}


@pytest.fixture
def say_aloud(surroundings: dict[str, str], tmp_path: Path) -> Callable[..., Told]:
    """Run a command as a person does, `python -m stitchview ...`, in a process of its own."""

    def run(*arguments: object, **environment: str) -> Told:
        ran = subprocess.run(
            [sys.executable, "-m", "stitchview", *map(str, arguments)],
            cwd=tmp_path,
            env=surroundings | environment,
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )
        return Told(ran.returncode, ran.stdout, ran.stderr)

    return run


@pytest.fixture
def harbour_path(tmp_path: Path) -> Path:
    """A harbour of 60 x 45 squares, on the disk."""
    path = tmp_path / "harbour.svchart"
    write_chart(make_harbour(60, 45, 20, 3), path)
    return path
