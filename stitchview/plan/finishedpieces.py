"""The finished pieces she learns from, kept for all pieces in one file, each with where it comes from."""

import contextlib
import itertools
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from stitchview.chart.entries.strictjson import NotJson, dump, parse
from stitchview.done.sittings import day_words
from stitchview.errors import CommandError, StitchviewError
from stitchview.plan.cameout import LEAST_RATIO, MOST_RATIO
from stitchview.plan.clothcount import ClothCount
from stitchview.safefile import write_bytes

FILE = "finished.json"
FORMAT = 1
MOST_BYTES, MOST_PIECES, MOST_THREADS = 8 << 20, 1000, 2000
MOST_MM, MOST_HOURS, MOST_STITCHES = 1e12, 1e6, 1e9


@dataclass(frozen=True, slots=True)
class UsedThread:
    """What a thread took in a piece: single strand by geometry, and really used, in millimetres."""

    name: str
    number: str
    kind: str
    reckoned_mm: float
    used_mm: float


@dataclass(frozen=True, slots=True)
class FinishedPiece:
    """What one finished piece can teach; `taken` is False where she refuses it.

    `ratios` are real by foretold size, across and down, None where nothing was measured. `stitches`
    were worked in `hours`, both 0 where the diary tells too little.
    """

    identity: str
    title: str
    day: str
    count: ClothCount
    ratios: tuple[float, float] | None = None
    threads: tuple[UsedThread, ...] = ()
    stitches: float = 0.0
    hours: float = 0.0
    taken: bool = True

    @property
    def rate(self) -> float:
        """Stitches an hour; 0 where it cannot be told."""
        return self.stitches / self.hours if self.hours else 0.0

    @property
    def teaches(self) -> bool:
        """Whether there is anything to learn from it."""
        return self.ratios is not None or any(each.reckoned_mm > 0 for each in self.threads) or self.rate > 0

    @property
    def from_words(self) -> str:
        """Where it comes from: "“Harbour at dusk”, 14 threads to the inch, over 1, finished 3 May 2026"."""
        title = f"“{self.title}”" if self.title else "A piece without a title"
        return f"{title}, {self.count.words}, finished {day_words(date.fromisoformat(self.day))}"


class FinishedPieces:
    """Kept in a folder of hers; read anew at each asking, so that windows agree."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def pieces(self) -> tuple[FinishedPiece, ...]:
        """All of them, the one finished last first; a file that makes no sense gives none."""
        return tuple(sorted(self._read().values(), key=_order, reverse=True))

    def put(self, piece: FinishedPiece) -> None:
        """Put one in, or renew it; one that was refused stays so. Raises `StitchviewError`."""
        known = self._read()
        if len(known) >= MOST_PIECES and piece.identity not in known:
            raise CommandError(f"{MOST_PIECES:,} finished pieces are kept.", "Take one out first.")
        before = known.get(piece.identity)
        known[piece.identity] = piece if before is None else replace(piece, taken=before.taken)
        self._write(known.values())

    def take(self, identity: str, taken: bool) -> None:
        """Learn from a piece, or refuse it. Raises `StitchviewError`."""
        known = self._read()
        if identity in known:
            known[identity] = replace(known[identity], taken=taken)
            self._write(known.values())

    def take_out(self, identity: str) -> None:
        """Forget a piece. Raises `StitchviewError`."""
        known = self._read()
        if known.pop(identity, None) is not None:
            self._write(known.values())

    @property
    def _path(self) -> Path:
        return self._folder / FILE

    def _read(self) -> dict[str, FinishedPiece]:
        found = (_piece(each) for each in self._listed() or ())
        return {piece.identity: piece for piece in found if piece is not None}

    def _makes_sense(self) -> bool:
        """Whether the file holds pieces, all of which can be written again."""
        listed = self._listed()
        return listed is not None and all(_piece(each) is not None for each in listed)

    def _listed(self) -> list[Any] | None:
        """What the file lists, whatever it is; None where it lists nothing."""
        try:
            if self._path.stat().st_size > MOST_BYTES:
                return None
            record = parse(self._path.read_bytes())
        except (OSError, NotJson):
            return None
        listed = record.get("pieces") if isinstance(record, dict) else None
        return listed if isinstance(listed, list) else None

    def _write(self, pieces: Iterable[FinishedPiece]) -> None:
        record = {"format": FORMAT, "pieces": [asdict(each) for each in pieces]}
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise StitchviewError(
                f"What finished pieces teach cannot be kept in “{self._folder}”.",
                "See whether it can be written.",
            ) from error
        with contextlib.suppress(OSError):
            if self._path.is_file() and not self._makes_sense():
                # Not ours to read, or damaged: it is put aside, not lost.
                self._path.replace(_free_beside(self._path))
        write_bytes(self._path, dump(record).encode("utf-8", "replace"))


def _free_beside(path: Path) -> Path:
    """A name beside a file that cannot be read, under which nothing was put aside before."""
    names = (path.with_suffix(f".unreadable{number or ''}.json") for number in itertools.count())
    return next(name for name in names if not name.exists())


def _order(piece: FinishedPiece) -> tuple[str, str]:
    return piece.day, piece.identity


def _piece(told: Any) -> FinishedPiece | None:
    """The piece that a member of the file tells of; None for what makes no sense."""
    if not isinstance(told, dict):
        return None
    try:
        identity, title, day = (_text(told, name) for name in ("identity", "title", "day"))
        date.fromisoformat(day)
        threads = told.get("threads")
        listed = threads[:MOST_THREADS] if isinstance(threads, list) else []
        return FinishedPiece(
            identity,
            title,
            day,
            _count(told.get("count")),
            _ratios(told.get("ratios")),
            tuple(_thread(each) for each in listed),
            _number(told.get("stitches", 0.0), MOST_STITCHES),
            _number(told.get("hours", 0.0), MOST_HOURS),
            told.get("taken") is not False,
        )
    except (ValueError, StitchviewError):
        return None


def _count(told: Any) -> ClothCount:
    if not isinstance(told, dict) or not isinstance(told.get("per_100_mm"), bool):
        raise ValueError("no cloth")
    across, down, over = (_number(told.get(name), 1e6) for name in ("across", "down", "over"))
    return ClothCount(across, down, told["per_100_mm"], int(over))


def _ratios(told: Any) -> tuple[float, float] | None:
    if told is None:
        return None
    if not isinstance(told, list) or len(told) != 2:
        raise ValueError("no ratios")
    across, down = (_number(each, MOST_RATIO) for each in told)
    if min(across, down) < LEAST_RATIO:
        raise ValueError("no ratios")
    return across, down


def _thread(told: Any) -> UsedThread:
    if not isinstance(told, dict):
        raise ValueError("no thread")
    lengths = _number(told.get("reckoned_mm"), MOST_MM), _number(told.get("used_mm"), MOST_MM)
    return UsedThread(_text(told, "name"), _text(told, "number"), _text(told, "kind"), *lengths)


def _text(told: Mapping[str, Any], name: str) -> str:
    value = told.get(name)
    if not isinstance(value, str):
        raise ValueError(f"{name} is no text")
    return value


def _number(value: object, most: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= most:
        raise ValueError("no number")
    return float(value)
