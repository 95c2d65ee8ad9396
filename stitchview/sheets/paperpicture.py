"""A picture of paper as it came from the camera, the scanner or a PDF page, upright and in memory."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class PaperPicture:
    """One picture: ``colour`` is (H, W, 3) uint8 RGB and ``grey`` (H, W) uint8, both turned upright by EXIF.

    ``name`` is the file's name as a person knows it; ``page`` counts pages of a PDF or frames of a TIFF
    from 1. Points in it are (x, y) pixels as float32; whole numbers are pixel centres, so that (0, 0) is the
    centre of the top left pixel (the convention of OpenCV and of the plates in ``shared/``).
    """

    name: str
    page: int
    colour: NDArray[np.uint8]
    grey: NDArray[np.uint8]
