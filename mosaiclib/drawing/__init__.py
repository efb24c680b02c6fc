"""The palette and house style: a layout as a picture in millimetres, charts, two writers, true-scale sheets.

What cannot be drawn raises MosaicError with a sentence.
Nothing here loads matplotlib or pypdf before a figure or a PDF is asked for.
"""

from mosaiclib.drawing.canvas import Drawing, Lines, Marks, Polygons, Text, Window, segments
from mosaiclib.drawing.files import write_pdf, write_svg, writing_pdf
from mosaiclib.drawing.layout_picture import SQUARED, layout_picture, panels
from mosaiclib.drawing.mpl import to_figure, to_png
from mosaiclib.drawing.palette import GLASS_COLOURS, MARKS, Look, alike, known_tone, look, looks
from mosaiclib.drawing.paper import PAPERS
from mosaiclib.drawing.plot import Plot, round_steps
from mosaiclib.drawing.sheets import Subject, bound, face_template, pages, template_sheets, template_subject
from mosaiclib.drawing.svg import to_svg
from mosaiclib.drawing.vessel import View, beside, vessel_picture

__all__ = [
    "GLASS_COLOURS",
    "MARKS",
    "PAPERS",
    "SQUARED",
    "Drawing",
    "Lines",
    "Look",
    "Marks",
    "Plot",
    "Polygons",
    "Subject",
    "Text",
    "View",
    "Window",
    "alike",
    "beside",
    "bound",
    "face_template",
    "known_tone",
    "layout_picture",
    "look",
    "looks",
    "pages",
    "panels",
    "round_steps",
    "segments",
    "template_sheets",
    "template_subject",
    "to_figure",
    "to_png",
    "to_svg",
    "vessel_picture",
    "write_pdf",
    "write_svg",
    "writing_pdf",
]
