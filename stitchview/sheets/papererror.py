"""What is said when a picture of paper cannot be read as a chart."""

from stitchview.errors import StitchviewError


class PaperError(StitchviewError):
    """A picture cannot be opened, or shows no chart that could be read without guessing."""
