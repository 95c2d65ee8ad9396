"""Her word that a thread is used which the key does not print: in the whole piece, or in areas of it."""

from collections.abc import Sequence
from dataclasses import dataclass

from stitchview.chart.colour import Colour
from stitchview.chart.model import THREAD_KINDS, UNTOLD
from stitchview.done.skeinnotes import LATEST_MS, MOST_LABEL_LETTERS, MOST_LOT_LETTERS, MOST_SKEINS
from stitchview.errors import CommandError

Subject = tuple[str | int, ...]
LEAST_ID_LETTERS = 2


@dataclass(frozen=True, slots=True)
class UsedInstead:
    """For the thread that the key names `name` and `number`, another one is used, in blends too.

    `used_name`, `used_number`, `kind`, `colour` and `lot` are its own; `range` is that of her list of
    threads, "" if it was not taken from there. `skeins` are those set aside for the piece, 0 if she did not
    say. `time` is when she noted it, in ms since 1970, UTC. Raises `CommandError` for what one cannot have.
    """

    name: str
    number: str
    used_name: str
    used_number: str = ""
    kind: str = THREAD_KINDS[0]
    colour: Colour = UNTOLD
    lot: str = ""
    range: str = ""
    skeins: float = 0.0
    time: int = 0

    def __post_init__(self) -> None:
        _check_labels((self.name, self.number, self.used_name, self.used_number, self.range), self.lot)
        _check_thread(self)

    @property
    def subject(self) -> Subject:
        """The printed thread's name and number."""
        return self.name, self.number


@dataclass(frozen=True, slots=True)
class OwnThread:
    """A thread that the key does not print, by its `id`, which differences on the cloth name as its code.

    Its members are those of `UsedInstead`. An id is longer than any code of a chart, so it can never be
    taken for one. Raises `CommandError` for what one cannot have.
    """

    id: str
    used_name: str
    used_number: str = ""
    kind: str = THREAD_KINDS[0]
    colour: Colour = UNTOLD
    lot: str = ""
    range: str = ""
    skeins: float = 0.0
    time: int = 0

    @classmethod
    def of(cls, used: UsedInstead, name: str) -> "OwnThread":
        """The thread that a form tells of, by its id, noted when the form's was."""
        label = used.used_name, used.used_number, used.kind, used.colour
        return cls(name, *label, used.lot, used.range, used.skeins, used.time)

    def __post_init__(self) -> None:
        if len(self.id) < LEAST_ID_LETTERS:
            raise ValueError("a thread of her own could be taken for one of the key")
        _check_labels((self.used_name, self.used_number, self.range), self.lot)
        _check_thread(self)

    @property
    def subject(self) -> Subject:
        """Its id; ids rise in the order in which threads are noted."""
        return (self.id,)


def _check_labels(labels: Sequence[str], lot: str) -> None:
    if max(map(len, labels)) > MOST_LABEL_LETTERS:
        raise CommandError(f"A thread's name can have {MOST_LABEL_LETTERS} letters.", "Shorten it.")
    if len(lot) > MOST_LOT_LETTERS:
        raise CommandError(f"A lot can have {MOST_LOT_LETTERS} letters.", "Shorten it.")
    try:
        "".join((*labels, lot)).encode()
    except UnicodeEncodeError as error:
        raise CommandError("The name of a lot or thread holds half a letter.", "Type it anew.") from error


def _check_thread(note: UsedInstead | OwnThread) -> None:
    if not (note.used_name or note.used_number):
        raise CommandError("The thread used has neither name nor number.", "Give it one of them.")
    if note.kind not in THREAD_KINDS or not 0 <= note.time <= LATEST_MS:
        raise ValueError("a thread used instead is of no known kind, or was noted at no known time")
    if not 0 <= note.skeins <= MOST_SKEINS:
        raise CommandError(
            f"One cannot have {note.skeins:g} skeins.", f"Give a number from 0 to {MOST_SKEINS:,.0f}."
        )
