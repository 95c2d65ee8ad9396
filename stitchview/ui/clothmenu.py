"""What the menu of a square offers between cloth and chart, for whoever works with the mouse alone."""

from functools import partial

from stitchview.ui.clothwork import ClothWork
from stitchview.ui.pointer import Square
from stitchview.ui.squaremenu import Entry


def cloth_entries(cloth: ClothWork, square: Square, in_hand: bool) -> list[Entry]:
    """Tape, pin, parking and needleful at a square; `in_hand` tells whether a thread is."""
    entries = [Entry(), Entry("Tape from here", partial(cloth.tape.lay_from, square))]
    if cloth.tape.ends is not None:
        entries.append(Entry("Tape to here", partial(cloth.tape.fix, square)))
        entries.append(Entry("Put the tape away", cloth.tape.put_away))
    entries.append(Entry("Pin here …", partial(cloth.pin_here, square)))
    if in_hand:
        entries.append(Entry("Park the thread in hand here", partial(cloth.notes.park, square)))
        entries.append(Entry("Next needleful from here", partial(cloth.needle.propose, square)))
    if cloth.needle.path is not None:
        entries.append(Entry("Needleful used up here", partial(cloth.needle.used_up_here, square)))
    return [*entries, Entry("Is this stitch where it should be …", partial(cloth.check_stitch, square))]
