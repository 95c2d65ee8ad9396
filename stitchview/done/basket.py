"""The workbasket: all the pieces she has begun, how far each one is, and what waits on it."""

import contextlib
import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from stitchview.chart.entries.strictjson import NotJson, dump, parse
from stitchview.done.counts import Progress
from stitchview.done.takenthread import TakenThread, taken_read
from stitchview.safefile import write_bytes

FORMAT = 1
BASKET = "workbasket.json"
PICTURES = "workbasket"
MOST_BYTES = 16 << 20


@dataclass(frozen=True, slots=True)
class Waiting:
    """What waits on a piece: threads parked, threads to buy, squares in doubt from reading the paper."""

    parked: int = 0
    to_buy: int = 0
    doubts: int = 0


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece as the basket knows it, without opening its chart.

    `identity` is the chart's own, empty where it has none; `last_ms` is when the last stitch was
    marked, in milliseconds since 1970, UTC, 0 for never. `taken` are the threads that it uses instead of
    printed ones.
    """

    identity: str
    path: Path
    title: str
    columns: int = 0
    rows: int = 0
    stitches: int = 0
    done: int = 0
    first_legs: int = 0
    last_ms: int = 0
    shelved: bool = False
    waiting: Waiting = Waiting()
    taken: tuple[TakenThread, ...] = ()

    @property
    def progress(self) -> Progress:
        """How far it is."""
        return Progress(self.stitches, self.done, self.first_legs)

    @property
    def name(self) -> str:
        """By what the basket knows it: the chart's identity, or where it lies if it has none."""
        return self.identity or str(self.path)

    @property
    def is_there(self) -> bool:
        """Whether its chart lies where it lay; a drive that is not plugged in says no."""
        try:
            return self.path.exists()
        except OSError:
            return False


class Basket:
    """The pieces, kept in one file in a folder of hers; read anew at each asking, so windows agree."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def pieces(self) -> tuple[Piece, ...]:
        """All pieces, the one worked on last first; shelved ones come after the others.

        A file that cannot be read gives none; it is put aside, not lost, when the next piece is put in.
        """
        return tuple(sorted(self._read().values(), key=_order))

    def put(self, piece: Piece) -> None:
        """Put a piece in, or renew what is known of it; one that was shelved stays so.

        Raises `StitchviewError` when the basket cannot be written.
        """
        pieces = self._read()
        known = pieces.get(piece.name)
        if known is None and piece.identity:
            # Before it was given an identity it was known by where it lies.
            known = pieces.pop(str(piece.path), None)
        pieces[piece.name] = replace(piece, shelved=known.shelved) if known is not None else piece
        self._write(pieces.values())

    def shelve(self, name: str, shelved: bool) -> None:
        """Lay a piece apart, or take it up again."""
        pieces = self._read()
        if name in pieces:
            pieces[name] = replace(pieces[name], shelved=shelved)
            self._write(pieces.values())

    def take_out(self, name: str) -> None:
        """Forget a piece; its chart and its marks stay where they are."""
        pieces = self._read()
        if pieces.pop(name, None) is not None:
            self._write(pieces.values())
            with contextlib.suppress(OSError):
                self.picture_of(name).unlink(missing_ok=True)

    def picture_of(self, name: str) -> Path:
        """Where the picture of a piece lies, if there is one."""
        told = hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:24]
        return self._folder / PICTURES / f"{told}.png"

    @property
    def _path(self) -> Path:
        return self._folder / BASKET

    def _read(self) -> dict[str, Piece]:
        try:
            if self._path.stat().st_size > MOST_BYTES:
                return {}
            told = parse(self._path.read_bytes())
        except (OSError, NotJson):
            return {}
        listed = told.get("pieces") if isinstance(told, dict) else None
        found = (_piece(each) for each in listed) if isinstance(listed, list) else ()
        return {piece.name: piece for piece in found if piece is not None}

    def _write(self, pieces: Iterable[Piece]) -> None:
        self._folder.mkdir(parents=True, exist_ok=True)
        self._put_aside_if_unreadable()
        listed = [asdict(piece) | {"path": str(piece.path)} for piece in pieces]
        # A name that is no text on this system cannot stand in a text file, and is found by opening it.
        told = dump({"format": FORMAT, "pieces": listed}).encode("utf-8", "replace")
        write_bytes(self._path, told)

    def _put_aside_if_unreadable(self) -> None:
        with contextlib.suppress(OSError):
            if self._path.is_file() and not self._read():
                self._path.replace(self._path.with_suffix(".unreadable.json"))


def matching(pieces: Sequence[Piece], words: str) -> tuple[Piece, ...]:
    """The pieces whose title or file name has all of the words in it, whatever the case."""
    wanted = words.casefold().split()
    return tuple(
        piece
        for piece in pieces
        if all(word in f"{piece.title} {piece.path.stem}".casefold() for word in wanted)
    )


def _order(piece: Piece) -> tuple[bool, int, str]:
    return piece.shelved, -piece.last_ms, piece.title.casefold()


def _piece(told: Any) -> Piece | None:
    """The piece that a member of the file tells of; None for what makes no sense."""
    if not isinstance(told, dict) or not isinstance(told.get("path"), str) or not told["path"]:
        return None
    waits, takes = told.get("waiting"), told.get("taken")
    takes = takes if isinstance(takes, list) else []
    return Piece(
        identity=_text(told, "identity"),
        path=Path(told["path"]),
        title=_text(told, "title"),
        columns=_whole(told, "columns"),
        rows=_whole(told, "rows"),
        stitches=_whole(told, "stitches"),
        done=_whole(told, "done"),
        first_legs=_whole(told, "first_legs"),
        last_ms=_whole(told, "last_ms"),
        shelved=told.get("shelved") is True,
        waiting=_waiting(waits) if isinstance(waits, dict) else Waiting(),
        taken=tuple(each for each in map(taken_read, takes) if each is not None),
    )


def _waiting(told: dict[str, Any]) -> Waiting:
    return Waiting(_whole(told, "parked"), _whole(told, "to_buy"), _whole(told, "doubts"))


def _text(told: dict[str, Any], name: str) -> str:
    found = told.get(name)
    return found if isinstance(found, str) else ""


def _whole(told: dict[str, Any], name: str) -> int:
    # A bool is an int in Python, though not in JSON; so the exact type is asked for.
    found = told.get(name)
    return found if type(found) is int and found >= 0 else 0
