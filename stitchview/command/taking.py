"""Arguments that several commands take: a chart, whole numbers, a square, a region, and "replace"."""

import argparse
import re
from collections.abc import Sequence
from pathlib import Path

from stitchview.command.command import Arguments
from stitchview.errors import CommandError

COUNTED = ("top-left", "top-right", "bottom-left", "bottom-right", "centre")
"""Where counting may begin."""


def take_chart(parser: argparse.ArgumentParser) -> None:
    """Take the chart."""
    parser.add_argument("chart", type=Path, metavar="CHART", help="a .svchart file or a chart folder")


def take_json(parser: argparse.ArgumentParser) -> None:
    """Take the wish for JSON."""
    parser.add_argument("--json", action="store_true", help="for programs, as one JSON object")


def take_replace(parser: argparse.ArgumentParser) -> None:
    """Take leave to write over what is there."""
    parser.add_argument("--replace", action="store_true", help="replace what is there already")


def refuse_taken(places: Sequence[Path], asked: Arguments) -> None:
    """Refuse to write over what is there unless that was asked for; an empty folder is free."""
    for place in places:
        empty_folder = place.is_dir() and not any(place.iterdir())
        if place.exists() and not empty_folder and not asked.replace:
            raise CommandError(f"“{place.name}” is there already.", "Choose another name, or add --replace.")


def whole(text: str) -> int:
    """A whole number."""
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"“{text}” is not a whole number") from None


def number(text: str) -> float:
    """A number, which may have a point."""
    if not re.fullmatch(r"[+-]?[0-9]{1,9}([.][0-9]{1,9})?", text.strip()):
        raise argparse.ArgumentTypeError(f"“{text}” is not a number")
    return float(text)


def pair(text: str) -> tuple[float, float]:
    """A width and a height with an x between them."""
    parts = text.lower().split("x")
    if len(parts) != 2:
        raise argparse.ArgumentTypeError(f"“{text}” is not a width and a height, as 30x40")
    return number(parts[0]), number(parts[1])


def square(text: str) -> tuple[int, int]:
    """A square, told from 1, as column and row from 0."""
    column, row = _numbers(text, "two", 2)
    return column - 1, row - 1


def region(text: str) -> tuple[int, int, int, int]:
    """A region, told from 1, as column and row from 0 and how many of each."""
    column, row, columns, rows = _numbers(text, "four", 4)
    if min(column, row, columns, rows) < 1:
        raise argparse.ArgumentTypeError(f"“{text}” is no region; columns and rows are counted from 1")
    return column - 1, row - 1, columns, rows


def _numbers(text: str, told: str, count: int) -> list[int]:
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != count or not all(re.fullmatch("[+-]?[0-9]{1,9}", part) for part in parts):
        raise argparse.ArgumentTypeError(f"“{text}” is not {told} whole numbers with commas")
    return [int(part) for part in parts]
