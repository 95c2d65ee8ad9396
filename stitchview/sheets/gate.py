"""Say whether a picture is good enough to read, and if not how to photograph the sheet again."""

from stitchview.sheets.lattice import Lattice

ENOUGH = 20.0
LEAST = 16.0


def picture_doubts(lattice: Lattice) -> tuple[str, ...]:
    """Sentences on a picture with fewer than 20 pixels a square; none where it is good enough.

    The limits are measured ones: below 16 pixels like symbols cannot be told apart.
    """
    pixels = lattice.pixels_a_square
    if pixels >= ENOUGH:
        return ()
    size = f"A square is only {pixels:.0f} pixels wide in this picture"
    if pixels >= LEAST:
        return (f"{size}; like symbols may be mixed up. {_advice(pixels)}",)
    return (f"{size}, too few to tell like symbols apart. {_advice(pixels)}",)


def _advice(pixels: float) -> str:
    """How to take the picture so that a square gets about 24 pixels."""
    closer = 24.0 / pixels
    pictures = "two" if closer <= 1.7 else "four" if closer <= 2.4 else "six"
    return (
        f"Photograph the sheet in {pictures} pictures from nearer, overlapping by ten squares, flat and in "
        "even light, or scan it with 300 dots per inch."
    )
