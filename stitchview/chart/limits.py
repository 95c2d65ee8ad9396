"""How big an open chart file may be, so that a hostile one is refused before it does harm.

Every number here stands in `resources/chart-format.md` too; a test holds the two together.
"""

from stitchview.chart.model import MOST_COLUMNS, MOST_ROWS

MEBIBYTE = 1024 * 1024

MOST_FILE_BYTES = 512 * MEBIBYTE
MOST_OTHER_BYTES = 256 * MEBIBYTE
MOST_ENTRIES = 10_000
MOST_NAME_BYTES = 200
MOST_NAME_PARTS = 8
MOST_DIRECTORY_BYTES = MOST_ENTRIES * 512

MOST_MIMETYPE_BYTES = 64
MOST_JSON_BYTES = 128 * MEBIBYTE
MOST_JSON_VALUES = 12_000_000
MOST_JSON_DEPTH = 32
MOST_WHOLE = 2**53 - 1

# Four bytes hold any character in UTF-8, two any line end, three the byte order mark.
MOST_SQUARES_BYTES = MOST_ROWS * (4 * MOST_COLUMNS + 2) + 3

MOST_PICTURE_BYTES = 64 * MEBIBYTE
MOST_PICTURE_PIECES = 100_000
MOST_SHEET_PIXELS = 100_000_000
MOST_SYMBOL_PIXELS = 1_000_000

# The forms other programs know: a table of squares, a picture with one pixel a square.
MOST_TABLE_BYTES = 256 * MEBIBYTE
MOST_CELL = 20
MOST_PICTURE_COLOURS = 512

MOST_STITCHES = 500_000
MOST_PARTS_IN_SQUARE = 4
MOST_SHEETS = 1_000
MOST_SHEET_DOUBTS = 100
MOST_BLENDED = 8
MOST_STRANDS = 50
MOST_ORIGIN = 1_000_000
MOST_COUNT = 1_000
MOST_OVER = 16

MOST_TITLE = 500
MOST_NOTES = 100_000
MOST_LABEL = 200
MOST_SYMBOL = 8
