"""Start stitchview, and see to it that nobody meets a traceback."""

import contextlib
import io
import os
import sys
import traceback
from collections.abc import Sequence

from stitchview.cli import run
from stitchview.errors import StitchviewError

FAILED = 1
# As shells count them: 128 and the number of the signal.
INTERRUPTED, PIPE_CLOSED = 130, 141


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the command line asks; gives the exit code, 0 when all went well."""
    _print_whatever_there_is()
    # Nothing here solves equations; the threads numpy starts for that take a tenth of the way to the window.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        code = run(sys.argv[1:] if arguments is None else arguments)
        if sys.stdout is not None:
            sys.stdout.flush()
        return code
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        _drop_the_rest()
        return PIPE_CLOSED
    except Exception as error:  # noqa: BLE001 (the one place where any fault becomes a sentence)
        sys.stderr.write(f"stitchview: {_sentence(error)}\n")
        if isinstance(error, OSError):
            _drop_the_rest()
        return FAILED


def _sentence(error: Exception) -> str:
    """What happened, for whoever asked; a fault of the program names its place, so that it can be told on."""
    if isinstance(error, StitchviewError):
        return str(error)
    if isinstance(error, OSError):
        return f"The system does not let stitchview go on ({error.strerror or error})."
    if isinstance(error, MemoryError):
        return "There is not enough memory; close other programs and try again."
    place = traceback.extract_tb(error.__traceback__)[-1]
    where = f"{os.path.basename(place.filename)}, line {place.lineno}"
    return f"Something went wrong that is no fault of yours ({type(error).__name__}: {error}; {where})."


def _print_whatever_there_is() -> None:
    """Let a terminal that lacks a character show a question mark in its stead."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _drop_the_rest() -> None:
    """Nobody reads on, so what is still in hand goes nowhere when the interpreter closes."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    sys.exit(main())
