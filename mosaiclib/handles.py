"""The picture that a learner drags: a drawing with handles on it, followed in the browser."""

__all__ = ["Handles"]

from pathlib import Path

import anywidget
import traitlets

LAB = Path(__file__).parent / "lab"


class Handles(anywidget.AnyWidget):
    """A picture with handles; Python sends the picture, the browser sends back where the handles are.

    Attributes
    ----------
    picture : str
        The drawing as SVG.
    height, left, low : float
        Height of the drawing, and where the layout's 0, 0 lies in it, from its lower left corner [mm].
    points : list of [x, y]
        Handles [mm].
    moving : bool
        Whether a handle is being dragged.
    step : float
        How far an arrow key moves a handle; ten times as far with the shift key [mm].
    """

    _esm = LAB / "handles.js"
    picture = traitlets.Unicode("").tag(sync=True)
    height = traitlets.Float(100.0).tag(sync=True)
    left = traitlets.Float(0.0).tag(sync=True)
    low = traitlets.Float(0.0).tag(sync=True)
    points = traitlets.List([]).tag(sync=True)
    moving = traitlets.Bool(False).tag(sync=True)
    step = traitlets.Float(1.0).tag(sync=True)

    @property
    def value(self) -> str:
        """The drawing as SVG, under the name that other pictures have."""
        return self.picture

    @value.setter
    def value(self, svg: str) -> None:
        self.picture = svg
