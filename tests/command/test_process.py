"""Commands in a process of their own: exit codes, closed pipes, Ctrl-C, odd terminals, full disks."""

import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from stitchview import __main__, __version__, cli
from stitchview.chart import fileformat
from stitchview.chart.harbour import making

posix = pytest.mark.skipif(os.name != "posix", reason="signals and /dev/full are of POSIX systems")


def test_a_whole_life_on_the_command_line(say_aloud: Callable[..., Any], tmp_path: Path) -> None:
    """Make a sample, check it, convert it and count it, each as a person would."""
    assert say_aloud("make-sample", "a.svchart", "--columns", 30, "--rows", 20).code == 0
    assert say_aloud("check", "a.svchart").code == 0
    assert say_aloud("convert", "a.svchart", "b.csv").code == 0
    told = say_aloud("facts", "a.svchart")
    assert told.code == 0
    assert told.complaint == ""
    assert "30 x 20 squares" in told.out
    names = {path.name for path in tmp_path.iterdir() if path.is_file()}
    assert names == {"a.svchart", "b.csv", "b-key.csv"}


@pytest.mark.parametrize(
    ("arguments", "code"), [(("check", "nowhere"), 1), (("facts", "nowhere"), 1), (("facts",), 2)]
)
def test_exit_codes_reach_the_shell(
    say_aloud: Callable[..., Any], arguments: tuple[str, ...], code: int
) -> None:
    """1 when it cannot be done, 2 when it was not asked rightly; never a traceback."""
    told = say_aloud(*arguments)
    assert told.code == code
    assert "Traceback" not in told.complaint + told.out


@pytest.mark.parametrize(("word", "meant"), [("fatcs", "“facts”"), ("convrt", "“convert”"), ("xyzzy", "")])
def test_a_mistyped_command_is_a_sentence(say_aloud: Callable[..., Any], word: str, meant: str) -> None:
    """No window opens for a slip of the fingers: what was not understood is said, and what may be meant."""
    told = say_aloud(word, "a.svchart", DISPLAY="", WAYLAND_DISPLAY="", QT_QPA_PLATFORM="")
    assert told.code == 2
    assert told.out == ""
    assert told.complaint.count("\n") == 1
    assert f"“{word}” is neither a command nor a chart in this folder" in told.complaint
    assert meant in told.complaint
    assert "display" not in told.complaint


@pytest.mark.parametrize("name", ["harbour.svchart", os.path.join("charts", "harbour")])
def test_what_is_written_as_a_chart_is_left_to_the_window(say_aloud: Callable[..., Any], name: str) -> None:
    """A chart that has gone is told of in the window, where file managers ask for it."""
    told = say_aloud(name, DISPLAY="", WAYLAND_DISPLAY="", QT_QPA_PLATFORM="")
    assert told.code == 1
    assert "neither a command" not in told.complaint


def test_help_and_version_are_there(say_aloud: Callable[..., Any]) -> None:
    """Help names every command, in general and one by one."""
    assert say_aloud("--version").out == f"stitchview {__version__}\n"
    told = say_aloud("--help")
    assert told.code == 0
    for command in cli.COMMANDS:
        assert command.name in told.out
    assert "--threads" in say_aloud("make-sample", "--help").out


def test_a_terminal_without_our_letters(say_aloud: Callable[..., Any], harbour_path: Path) -> None:
    """In a terminal that knows only ASCII, signs become question marks and nothing breaks."""
    told = say_aloud("facts", harbour_path, PYTHONIOENCODING="ascii")
    assert told.code == 0
    assert "? Sample cotton" in told.out


@posix
def test_nobody_reading_on_is_no_fault(surroundings: dict[str, str], harbour_path: Path) -> None:
    """When the reader of a pipe has left, the command ends without a word."""
    command = [sys.executable, "-m", "stitchview", "facts", str(harbour_path)]
    with subprocess.Popen(
        command, env=surroundings, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        complaint = process.stderr.read()
    assert process.returncode == __main__.PIPE_CLOSED
    assert complaint == b""


@posix
def test_a_full_disk_for_the_output_is_a_sentence(surroundings: dict[str, str], harbour_path: Path) -> None:
    """Output sent to a full device ends in one sentence and exit code 1."""
    command = [sys.executable, "-m", "stitchview", "facts", str(harbour_path)]
    with Path("/dev/full").open("wb") as full:
        ran = subprocess.run(command, env=surroundings, stdout=full, stderr=subprocess.PIPE, check=False)
    assert ran.returncode == 1
    assert ran.stderr.decode() == (
        "stitchview: The system does not let stitchview go on (No space left on device).\n"
    )


@posix
def test_ctrl_c_ends_quietly_and_leaves_nothing(surroundings: dict[str, str], tmp_path: Path) -> None:
    """Interrupted while a huge sample is made, the command says nothing and leaves no file."""
    ready = (
        # What is imported first cannot swallow the signal any more, as parts of numpy do.
        # Whoever starts the tests in the background may leave Ctrl-C ignored, and children inherit that.
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler);"
        "import sys; import stitchview.chart.harbour.making as making;"
        "make = making.make_harbour;"
        # It is interrupted once it is at work, and not before.
        "making.make_harbour = lambda *told: (print('ready', flush=True), make(*told))[1];"
        "from stitchview.__main__ import main;"
        "sys.exit(main(['make-sample', 'a.svchart', '--columns', '4096', '--rows', '4096']))"
    )
    with subprocess.Popen(
        [sys.executable, "-c", ready],
        cwd=tmp_path,
        env=surroundings,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        assert process.stdout.readline() == b"ready\n"
        process.send_signal(signal.SIGINT)
        complaint = process.stderr.read()
    assert process.returncode == __main__.INTERRUPTED
    assert complaint == b""
    assert not [path for path in tmp_path.iterdir() if path.is_file()]


@posix
@pytest.mark.skipif(os.name == "posix" and os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_cannot_be_written(say: Callable[..., Any], tmp_path: Path) -> None:
    """A read-only folder is a sentence and exit code 1."""
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o500)
    told = say("make-sample", locked / "a.svchart", "--columns", 12, "--rows", 10)
    assert told.code == 1
    assert "could not be written" in told.complaint


def test_a_fault_of_the_program_is_owned_up_to(
    say: Callable[..., Any], monkeypatch: pytest.MonkeyPatch, harbour_path: Path
) -> None:
    """Should the program itself go wrong, it says so in a sentence that names the place."""

    def broken(path: Path) -> None:
        raise ZeroDivisionError("oh")

    monkeypatch.setattr(fileformat, "find_problems", broken)
    told = say("check", harbour_path)
    assert told.code == 1
    assert "no fault of yours (ZeroDivisionError: oh; test_process.py" in told.complaint
    assert told.complaint.count("\n") == 1


def test_too_little_memory_is_a_sentence(
    say: Callable[..., Any], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """When memory runs out, the sentence says what to do."""

    def hungry(*_: int) -> None:
        raise MemoryError

    monkeypatch.setattr(making, "make_harbour", hungry)
    told = say("make-sample", tmp_path / "a.svchart")
    assert told.code == 1
    assert "close other programs" in told.complaint
