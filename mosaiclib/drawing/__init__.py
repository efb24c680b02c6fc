"""The palette and house style: a layout as a picture in millimetres, two writers, true-scale sheets.

Nothing here loads matplotlib or pypdf before a figure, a chart or a PDF is asked for.
"""

from mosaiclib.drawing.canvas import Drawing, Lines, Marks, Polygons, Text, Window, in_unit, segments
from mosaiclib.drawing.files import write_pdf, write_svg
from mosaiclib.drawing.layout_picture import layout_picture, panels, toned
from mosaiclib.drawing.mpl import to_figure, to_png
from mosaiclib.drawing.palette import GLASS_COLOURS, MARKS, Look, look
from mosaiclib.drawing.plot import Plot, as_img, chart, figure_png
from mosaiclib.drawing.sheets import PAPERS, face_template, pages, template_sheets
from mosaiclib.drawing.svg import to_svg

__all__ = [
    "GLASS_COLOURS",
    "MARKS",
    "PAPERS",
    "Drawing",
    "Lines",
    "Look",
    "Marks",
    "Plot",
    "Polygons",
    "Text",
    "Window",
    "as_img",
    "chart",
    "face_template",
    "figure_png",
    "in_unit",
    "layout_picture",
    "look",
    "pages",
    "panels",
    "segments",
    "template_sheets",
    "to_figure",
    "to_png",
    "to_svg",
    "toned",
    "write_pdf",
    "write_svg",
]
