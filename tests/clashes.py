"""Neighbours that are alike: what every coloured layout is held against."""

import numpy as np

from mosaiclib.layout import neighbours


def clashes(layout, corners=False):
    """Pairs of neighbours of one colour, shape (k, 2); pieces without a colour are like nothing."""
    if not len(layout):
        return np.zeros((0, 2), int)
    pairs = neighbours(layout, corners)
    first, second = layout.pieces["colour"].to_numpy(dtype=object)[pairs.T]
    return pairs[(first == second) & (first != "")]
