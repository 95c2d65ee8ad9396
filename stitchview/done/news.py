"""Strokes that another window on the same chart has made: taken over while this one is open."""

import functools

from stitchview.done.change import Change
from stitchview.done.history import Past
from stitchview.done.layerfile import OpenedLayer


def news_for(opened: OpenedLayer) -> Change | None:
    """What alters because of strokes made elsewhere since it was asked last; None when there are none.

    Whoever calls applies the change; undo goes on from all strokes together, in the order of their
    ids. Asking without news costs one look at the file. Raises `LayerError` when they cannot be read.
    """
    layer, history = opened.layer, opened.history
    if not layer.heard():
        return None
    timeline = layer.outline()
    if tuple(timeline.live) == history.live and bool(timeline.undone) == history.can_redo:
        return None
    change = layer.settle(opened.marks, timeline.live)
    settle = functools.partial(layer.settle, opened.marks)
    past = Past(layer.load, timeline.live, timeline.undone, settle, timeline.stitchless)
    history.renew(past, timeline.newest)
    return change
