"""The picture that a learner drags: a drawing with handles on it, followed in the browser."""

__all__ = ["Handles"]

import math
from collections.abc import Sequence
from pathlib import Path

import anywidget
import traitlets

from mosaiclib.units import mm, text, told

LAB = Path(__file__).parent


class Handles(anywidget.AnyWidget):
    """A picture with handles; Python sends the picture, the browser sends back where the handles are.

    Lengths are millimetres of the layout. A handle outside the picture is shown at its rim.
    """

    _esm = LAB / "handles.js"
    picture = traitlets.Unicode("").tag(sync=True)  # SVG
    width = traitlets.Float(100.0)
    height = traitlets.Float(100.0).tag(sync=True)
    left = traitlets.Float(0.0).tag(sync=True)  # from the drawing's lower left corner to the layout's 0, 0
    low = traitlets.Float(0.0).tag(sync=True)
    points = traitlets.List([]).tag(sync=True)
    between = traitlets.List([]).tag(sync=True)  # where another handle would go after each but the last
    most = traitlets.Int(0).tag(sync=True)  # handles there may be; 0 where their number stays as it is
    places = traitlets.List([]).tag(sync=True)  # where the handles are, in words, for who does not see them
    unit = traitlets.Unicode("mm")
    moving = traitlets.Bool(False).tag(sync=True)
    tapped = traitlets.List([0, 0]).tag(sync=True)  # the number of the piece that was tapped last, and of the tap
    step = traitlets.Float(1.0).tag(sync=True)  # of an arrow key; ten times as far with the shift key

    @property
    def value(self) -> str:
        """The drawing as SVG, under the name that other pictures have."""
        return self.picture

    @value.setter
    def value(self, svg: str) -> None:
        self.picture = svg

    @traitlets.observe("points", "unit")
    def _tell_places(self, _: object) -> None:
        self.places = [told(text(mm(x), " across, ", mm(y), " up"), self.unit, both=False) for x, y in self.points]

    def held(self, points: Sequence[Sequence[float]], before: Sequence[Sequence[float]]) -> tuple[list, str]:
        """Return handles [mm], those that moved or are new held inside the picture, and a sentence if one had to be."""
        found, said = [list(point) for point in points], ""
        for index, point in enumerate(found):
            if point in map(list, before):
                continue  # a point that was typed may lie outside
            found[index] = [_hold(point[0], self.left, self.width), _hold(point[1], self.low, self.height)]
            if found[index] != point:
                said = f"Point {index + 1} is held at the rim of the picture."
        return found, said


def _hold(at: float, before: float, length: float) -> float:
    """Hold a place [mm] inside a picture that begins so far before 0; whole tenths, the same rule as in the browser."""
    return min(max(at, math.ceil(-10 * before) / 10), math.floor(10 * (length - before)) / 10)
