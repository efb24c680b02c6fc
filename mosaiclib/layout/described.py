"""What rows on a curve tell the maker, in sentences: one a span, one a piece."""

__all__ = ["piece_words", "span_words"]

import math

import numpy as np

from mosaiclib.layout.rowspec import Rules, Strip

CHANGED = {
    "face": "cut: at the edge of the glass",
    "corner": "corner: cut on the bisector of the corner",
    "apart": "cut: back from a row that it would meet",
    "shared": "cut: it shares what is left over, so that no sliver remains",
}


def span_words(zone: str, strip: Strip, radius: float, rules: Rules) -> str:
    """Say what can be laid on a stretch of a row.

    Parameters
    ----------
    zone : str
        One of the zones.
    strip : Strip
        The row.
    radius : float
        Least inside radius [mm].
    rules : Rules
        Joint and limits.

    Returns
    -------
    str
        A sentence.
    """
    bend = "straight" if math.isinf(radius) else f"inside radius {radius:.0f} mm"
    if zone == "leave whole":
        return f"Row {strip.number}, {bend}: tiles stay whole, joints keep {rules.least:g} to {rules.greatest:g} mm."
    if zone == "wedge":
        return f"Row {strip.number}, {bend}: left whole, joints would open in a V; cut wedges."
    if zone == "fan":
        return (
            f"Row {strip.number}, {bend}: a wedge would be narrower than {strip.narrow_end:.1f} mm; "
            "cut a fan of points, or take smaller pieces here."
        )
    return f"Row {strip.number}: the bend is tighter than the row is wide; no row fits, leave it to the hand."


def piece_words(
    kind: list[str],
    touched: np.ndarray,
    wide: np.ndarray,
    narrow: np.ndarray,
    inside: np.ndarray,
    sag: np.ndarray,
) -> list[str]:
    """Say for each piece why it is as it is.

    Parameters
    ----------
    kind : list of str, length n
        Kinds of the pieces.
    touched : array of str, shape (n,)
        What changed it after it was laid, empty for nothing.
    wide, narrow : array, shape (n,)
        Widths of its ends [mm].
    inside : array, shape (n,)
        The narrowest joint if it and its neighbours were left whole [mm].
    sag : array, shape (n,)
        How far its straight edge leaves the curve [mm].

    Returns
    -------
    list of str
        One sentence a piece.
    """
    numbers = zip(kind, touched.tolist(), wide.tolist(), narrow.tolist(), inside.tolist(), sag.tolist(), strict=True)
    return [_words(*numbers_of) for numbers_of in numbers]


def _words(kind: str, touched: str, wide: float, narrow: float, inside: float, sag: float) -> str:
    if touched:
        return CHANGED[touched]
    if kind == "whole":
        return f"whole: its narrowest joint is {inside:.1f} mm"
    if kind == "fan":
        return f"fan: from {wide:.1f} to {narrow:.1f} mm; a wedge would run to a point here"
    if kind == "wedge":
        left = f"{inside:.1f} mm" if inside > 0 else "none at all"
        bow = f"; its edge lies up to {sag:.1f} mm off the curve" if sag >= 0.1 else ""
        return f"wedge: {wide:.1f} to {narrow:.1f} mm; left whole, its inside joint would be {left}{bow}"
    return f"cut: {wide:.1f} mm wide, so that the row comes out even"
