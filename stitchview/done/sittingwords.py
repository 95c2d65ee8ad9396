"""Sittings corrected by hand: her word on them laid over what pauses tell, and what each correction notes."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from stitchview.done.notebook import Notes, NotesChange
from stitchview.done.notes import Note
from stitchview.done.sittingnotes import MOST_MINUTES, MOST_WORDS, ClothPhoto, SittingSeam, SittingWord
from stitchview.done.sittings import Pauses, Sitting, sittings_of
from stitchview.errors import CommandError


def sittings_told(stroke_ids: Iterable[bytes], notes: Notes, pauses: Pauses) -> tuple[Sitting, ...]:
    """The sittings that strokes were made in, in the order of their ids, as she corrected them.

    Where several of her words have come into one sitting, as by joining, its minutes are their sum (a day
    at most), the notes follow one another, and it is struck out only if each of them says so.
    """
    seams = {bytes.fromhex(each.stroke): each.begins for each in notes.seams}
    found = sittings_of(stroke_ids, pauses, seams)
    return tuple(_told(sitting, words) for sitting, words in _with_words(found, notes))


def words_on(sitting: Sitting, notes: Notes) -> tuple[SittingWord, ...]:
    """All that she said of a sitting, in the order of the strokes it was said of."""
    return tuple(each for each in notes.sitting_words if sitting.holds(bytes.fromhex(each.stroke)))


def photos_of(sitting: Sitting, notes: Notes) -> tuple[ClothPhoto, ...]:
    """The photographs of the cloth that were added to a sitting, the first one first."""
    return tuple(each for each in notes.photos if sitting.holds(bytes.fromhex(each.stroke)))


@dataclass(frozen=True, slots=True)
class SittingDesk:
    """What corrections rewrite of the `notes`; each gives None where nothing would alter."""

    notes: Notes

    def saying(self, sitting: Sitting, minutes: float | None, struck: bool, note: str) -> NotesChange | None:
        """Say minutes (None as measured), whether it was none, and a few words of a sitting.

        Raises `CommandError` for what cannot be kept.
        """
        old = words_on(sitting, self.notes)
        stroke = old[0].stroke if old else sitting.first.hex()
        word = SittingWord(stroke, minutes, struck, note.strip())
        return _both(self.notes, (*(() if word.empty else (word,)),), old if word.empty else old[1:])

    def joining(self, one: Sitting, next_one: Sitting) -> NotesChange | None:
        """Make one sitting of two that follow one another; minutes told are added, notes kept."""
        seam = SittingSeam(next_one.first.hex(), begins=False)
        old = (*words_on(one, self.notes), *words_on(next_one, self.notes))
        if not old:
            return self.notes.putting(seam)
        corrected = one.minutes_told is not None or next_one.minutes_told is not None
        minutes = min(one.minutes + next_one.minutes, MOST_MINUTES) if corrected else None
        note = "\n".join(each.note for each in (one, next_one) if each.note)
        if len(note) > MOST_WORDS:
            raise CommandError(
                f"The notes of both sittings have more than {MOST_WORDS:,} letters together.",
                "Shorten one of them first.",
            )
        word = SittingWord(one.first.hex(), minutes, one.struck and next_one.struck, note)
        return _both(self.notes, (seam, *(() if word.empty else (word,))), old)

    def splitting(self, sitting: Sitting, stroke_id: bytes) -> NotesChange | None:
        """Let another sitting begin with a stroke of this one.

        Minutes that were told of the whole are told of neither part; the note stays with the first.
        """
        if not sitting.first < stroke_id <= sitting.last:
            raise CommandError("There is nothing before that stroke.", "Choose a later moment.")
        seam = SittingSeam(stroke_id.hex(), begins=True)
        word = SittingWord(sitting.first.hex(), None, sitting.struck, sitting.note)
        old = words_on(sitting, self.notes)
        return _both(self.notes, (seam, *(() if word.empty else (word,))), old)


def split_places(stroke_ids: Sequence[bytes], sitting: Sitting) -> Sequence[bytes]:
    """The strokes of a sitting that another could begin with: all but the first, in order."""
    first, last = bisect_left(stroke_ids, sitting.first), bisect_right(stroke_ids, sitting.last)
    return stroke_ids[first + 1 : last]


def _told(sitting: Sitting, words: Sequence[SittingWord]) -> Sitting:
    if not words:
        return sitting
    minutes = [each.minutes for each in words if each.minutes is not None]
    return replace(
        sitting,
        minutes_told=min(sum(minutes), MOST_MINUTES) if minutes else None,
        struck=all(each.struck for each in words),
        note="\n".join(each.note for each in words if each.note),
    )


def _with_words(
    sittings: Sequence[Sitting], notes: Notes
) -> Iterator[tuple[Sitting, tuple[SittingWord, ...]]]:
    """Each sitting with her words on it; both lie in the order of strokes, so each is passed once."""
    words, at = notes.sitting_words, 0
    for sitting in sittings:
        mine = []
        while at < len(words) and words[at].stroke <= sitting.last.hex():
            if words[at].stroke >= sitting.first.hex():
                mine.append(words[at])
            at += 1
        yield sitting, tuple(mine)


def _both(notes: Notes, put: Sequence[Note], gone: Sequence[Note]) -> NotesChange | None:
    """What is rewritten when some notes are put in and others, unless put in too, are taken off."""
    kept = {(type(each), each.subject) for each in put}
    wanted = notes.after(
        notes.removing(*(e for e in gone if (type(e), e.subject) not in kept)) or NotesChange()
    )
    return notes.towards(wanted.after(wanted.putting(*put) or NotesChange())) or None
