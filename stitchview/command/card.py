"""The command card: the thread card as a PDF to print."""

import argparse
from contextlib import closing
from pathlib import Path

from stitchview.command.command import FINE, Arguments, Command
from stitchview.command.taking import refuse_taken, square, take_chart, take_replace
from stitchview.command.telling import look_at
from stitchview.errors import CommandError

ORDERS = ("key", "colour", "blocks")
PAPERS = ("a4", "letter")


def _take_card(parser: argparse.ArgumentParser) -> None:
    take_chart(parser)
    parser.add_argument("target", type=Path, metavar="OUT.pdf", help="the sheets to write")
    parser.add_argument("--paper", choices=PAPERS, type=str.lower, default="a4", help="(a4)")
    parser.add_argument(
        "--order",
        choices=ORDERS,
        default="key",
        help="as the key, by colour, or as the next blocks need (key)",
    )
    parser.add_argument(
        "--near", type=square, metavar="COL,ROW", help="from 1, for blocks (the marks made last)"
    )
    take_replace(parser)


def _card(asked: Arguments) -> int:
    from stitchview.canvas.cardsheet import write_card
    from stitchview.follow.nextreport import last_place
    from stitchview.plan.cardpages import PAPERS as PAPERS_BY_NAME
    from stitchview.plan.holeorder import HoleOrder, card_of

    if asked.target.suffix.lower() != ".pdf":
        raise CommandError(f"“{asked.target.name}” does not end in .pdf.", "Name a file that does.")
    refuse_taken([asked.target], asked)
    opened = look_at(asked.chart)
    with closing(opened.layer):
        place = asked.near or last_place(opened.history)
    chart = opened.marks.chart
    if not chart.area.holds(*place):
        raise CommandError(
            f"Column {place[0] + 1}, row {place[1] + 1} is not on the chart.", "Name one that is."
        )
    card = card_of(opened.marks, HoleOrder(asked.order), place)
    sheets = write_card(chart, card, asked.target, PAPERS_BY_NAME[asked.paper])
    told = "1 sheet" if sheets == 1 else f"{sheets} sheets"
    print(f"Wrote “{asked.target.name}”: {told}, {len(card.holes):,} holes.")
    return FINE


CARD = Command("card", "Write a thread card with its symbols as a PDF to print.", _take_card, _card)
