"""What a command is: its name, what it does in a line, how it takes arguments, and how it is run."""

import argparse
from collections.abc import Callable
from dataclasses import dataclass

FINE, FAULTY, MISUSED = 0, 1, 2

Arguments = argparse.Namespace


@dataclass(frozen=True, slots=True)
class Command:
    """One command: its name, what it does in a line, how it takes arguments, and how it is run."""

    name: str
    tells: str
    takes: Callable[[argparse.ArgumentParser], None]
    runs: Callable[[Arguments], int]
