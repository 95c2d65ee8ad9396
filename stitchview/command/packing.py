"""The commands that put everything of one piece into one file and take it out again: pack and unpack."""

import argparse
from pathlib import Path

from stitchview.command.command import FINE, Arguments, Command
from stitchview.command.keeping import piece_at, strokes
from stitchview.command.taking import refuse_taken, take_chart, take_replace
from stitchview.command.telling import tell


def _take_pack(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("target", type=Path, metavar="OUT.svpiece", help="the file to write")
    take_replace(parser)


def _pack(asked: Arguments) -> int:
    from stitchview.done.piecefile import pack

    refuse_taken([asked.target], asked)
    packed = pack(piece_at(asked.chart), asked.target)
    held = strokes(packed.strokes) + _photographs(packed.photos)
    gone = [f"The photograph “{name}” is not there, and not packed." for name in packed.missing]
    return tell([f"Packed “{asked.chart.name}” with {held} into “{asked.target.name}”."], gone)


def _take_unpack(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("source", type=Path, metavar="FILE.svpiece", help="a packed piece")
    parser.add_argument("folder", type=Path, metavar="FOLDER", help="where chart and marks go")


def _unpack(asked: Arguments) -> int:
    from stitchview.done.piecefile import unpack

    unpacked = unpack(asked.source, asked.folder)
    beside = f" and “{unpacked.layer.name}” with {strokes(unpacked.strokes)}" if unpacked.layer else ""
    print(f"Unpacked “{unpacked.chart.name}”{beside}{_photographs(unpacked.photos)}.")
    return FINE


def _photographs(count: int) -> str:
    return "" if not count else " and 1 photograph" if count == 1 else f" and {count:,} photographs"


PACK = Command("pack", "Put a chart and what is done of it into one file.", _take_pack, _pack)
UNPACK = Command("unpack", "Take a chart and what is done out of a packed piece.", _take_unpack, _unpack)
