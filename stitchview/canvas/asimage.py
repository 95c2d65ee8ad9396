"""Arrays of pixels as pictures that Qt can draw, without copying them."""

from PySide6.QtGui import QImage

from stitchview.canvas.mixing import Pixels


def as_image(pixels: Pixels) -> QImage:
    """Wrap pixels of shape (height, width), RGB32, as an image; they must outlive it."""
    height, width = pixels.shape
    return QImage(pixels.data, width, height, pixels.strides[0], QImage.Format.Format_RGB32)
