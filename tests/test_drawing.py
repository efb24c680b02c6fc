"""Drawings: the SVG, the picture of a layout, and that both writers draw the same."""

import io
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pdfplumber
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from mosaiclib.adhesive import lightness
from mosaiclib.adhesive.cure import Wait
from mosaiclib.drawing import (
    GLASS_COLOURS,
    MARKS,
    Drawing,
    Lines,
    Marks,
    Plot,
    Polygons,
    Text,
    Window,
    layout_picture,
    look,
    panels,
    round_steps,
    segments,
    to_figure,
    to_png,
    to_svg,
    write_pdf,
)
from mosaiclib.drawing.palette import LIGHTEN, WHITE, contrast, grey, mix
from mosaiclib.drawing.plot import wait_bar
from mosaiclib.errors import MosaicError
from mosaiclib.layout import Gap, Layout, Tile, piece_table
from mosaiclib.lessons import w01_joints, w04_energy
from mosaiclib.spacing import WAYS
from mosaiclib.units import mm, text

SVG = "{http://www.w3.org/2000/svg}"
POINT = 72 / 25.4  # [points/mm]


def made(shapes, outline=None, **columns):
    """Return a layout of given shapes."""
    shapes = np.array(shapes, dtype=object)
    outline = shapely.box(0, 0, 100, 60) if outline is None else outline
    return Layout(outline, shapes, piece_table(len(shapes), **columns), 2, 1, 3, Tile(20, 4))


def squares(across=4, down=2, **columns):
    """Return a grid of 20 mm squares with 2 mm joints."""
    boxes = [shapely.box(22 * i, 22 * j, 22 * i + 20, 22 * j + 20) for j in range(down) for i in range(across)]
    return made(boxes, shapely.box(0, 0, 22 * across - 2, 22 * down - 2), **columns)


def wedges(count=24, inside=60.0, height=20.0):
    """Return a ring of wedges around 100, 100."""
    half = np.pi / count
    found = []
    for i in range(count):
        rays = [(2 * i * half + s * (half - 1 / r), r) for r, s in ((inside, -1), (inside + height, -1))]
        rays += [(2 * i * half + (half - 1 / r), r) for r in (inside + height, inside)]
        found.append(shapely.Polygon([(100 + r * np.cos(a), 100 + r * np.sin(a)) for a, r in rays]))
    return made(found, shapely.box(0, 0, 200, 200), colour="sea green", kind="wedge", width=18.0, height=20.0)


def read(drawing, scale="screen"):
    return ET.fromstring(to_svg(drawing, scale=scale))


def of_class(root, name):
    return [found for found in root.iter() if found.get("class") == name]


def rings(path):
    """Return the points of each ring in path data, shape (n, 2)."""
    return [np.array(re.findall(r"-?[\d.]+", ring), float).reshape(-1, 2) for ring in path.split("M")[1:]]


class TestSvg:
    def test_has_title_description_and_role_first(self):
        root = read(layout_picture(squares(), title="Front & back", description="Eight <squares>"))
        assert root.get("role") == "img"
        assert [root[0].tag, root[0].text] == [SVG + "title", "Front & back"]
        assert [root[1].tag, root[1].text] == [SVG + "desc", "Eight <squares>"]

    def test_one_path_and_one_sentence_a_piece(self):
        layout = squares(7, 5, colour="amber", why="It fits.")
        pieces = of_class(read(layout_picture(layout)), "piece")
        assert len(pieces) == len(layout)
        said = [piece.find(SVG + "title").text for piece in pieces]
        assert said[34] == "Piece 35: amber, whole, 0 mm by 0 mm. It fits."

    def test_what_a_person_types_is_escaped(self):
        nasty = '<script>alert("1")</script> & \x00\x0b "\'>'
        layout = squares(2, 1, colour=nasty, why=nasty, face=[nasty, "b"])
        picture = layout_picture(layout, key=True, title=nasty, description=nasty)
        text = to_svg(picture)
        assert "<script" not in text
        root = ET.fromstring(text)
        assert '<script>alert("1")</script> &' in of_class(root, "piece")[0][0].text

    @given(st.text(max_size=30))
    def test_any_words_give_readable_xml(self, words):
        layout = squares(2, 1, colour=words, why=words)
        root = read(layout_picture(layout, key=True, title=words))
        assert len(of_class(root, "piece")) == 2

    def test_true_scale_is_in_millimetres(self):
        root = read(Drawing(210, 297, "A sheet"), "true")
        assert (root.get("width"), root.get("height"), root.get("viewBox")) == (
            "210mm",
            "297mm",
            "0 0 210 297",
        )

    def test_screen_scale_follows_its_place(self):
        root = read(Drawing(300, 200, "A picture"))
        assert root.get("width") == "100%" and "min(var(--wide,680px),calc(var(--high,480px)*1.5))" in root.get("style")

    def test_unknown_scale(self):
        with pytest.raises(MosaicError, match="screen, true"):
            to_svg(Drawing(10, 10, ""), scale="half")

    def test_up_is_up(self):
        root = read(Drawing(100, 60, "", "", (Lines(segments([0, 0, 100, 50])),)))
        assert rings(root.find(SVG + "path").get("d"))[0].tolist() == [[0, 60], [100, 10]]

    def test_shapes_of_one_tone_in_a_row_are_one_path(self):
        boxes = [shapely.box(i, 0, i + 1, 1) for i in range(5)]
        item = Polygons(boxes, ("#111111", "#111111", "#222222", "#222222", "#111111"), name="x")
        paths = of_class(read(Drawing(10, 10, "", "", (item,))), "x")
        assert [path.get("d").count("Z") for path in paths] == [2, 2, 1]

    def test_holes_stay_empty_and_parts_stay_together(self):
        holed = shapely.box(0, 0, 30, 30).difference(shapely.box(10, 10, 20, 20))
        two = shapely.MultiPolygon([shapely.box(40, 0, 50, 10), shapely.box(60, 0, 70, 10)])
        drawing = Drawing(80, 40, "", "", (Polygons([holed, two], ("#aa0000", "#00aa00"), name="x"),))
        first, second = (rings(path.get("d")) for path in of_class(read(drawing), "x"))
        areas = [shapely.LinearRing(ring).is_ccw for ring in first]
        assert areas[0] != areas[1] and len(second) == 2
        pixels = pixels_of(drawing, 800)
        assert pixels[-150, 150].tolist() == [255, 255, 255]
        assert pixels[-50, 450].tolist() == [0, 170, 0]

    def test_same_drawing_same_bytes(self):
        assert to_svg(layout_picture(wedges())) == to_svg(layout_picture(wedges()))


def pixels_of(drawing, width):
    """Return the PNG's pixels, shape (rows, columns, 3)."""
    from matplotlib.image import imread

    shares = imread(io.BytesIO(to_png(drawing, width)))
    return np.round(255 * shares[..., :3]).astype(int)


class TestBothWriters:
    @pytest.mark.parametrize("layout", [squares(), wedges()], ids=["squares", "wedges"])
    def test_same_pieces_in_the_same_places(self, layout):
        picture = layout_picture(layout, marks=False, dimensions=False)
        paths = of_class(read(picture, "true"), "piece")
        from_svg = [ring for path in paths for ring in rings(path.get("d"))]
        buffer = io.BytesIO()
        write_pdf([picture], buffer)
        with pdfplumber.open(buffer) as book:
            found = [np.array(c["pts"]) / POINT for c in book.pages[0].rects + book.pages[0].curves]
        drawn = {tuple(sorted({tuple(p) for p in np.round(ring, 1).tolist()})) for ring in found}
        missing = [r for r in from_svg if not any(close(r, ring) for ring in found)]
        assert len(paths) == len(layout) and not missing and len(drawn) >= len(layout)

    def test_same_tones_at_the_middle_of_each_piece(self):
        names = list(GLASS_COLOURS)[:8]
        picture = layout_picture(squares(colour=names), marks=False)
        paths = of_class(read(picture), "piece")
        pixels = pixels_of(picture, 900)
        scale = 900 / picture.width
        for path in paths:
            x, y = rings(path.get("d"))[0].mean(axis=0) * scale
            tone = "#" + "".join(f"{value:02x}" for value in pixels[int(y), int(x)])
            assert tone == path.get("fill")

    def test_windows_cut_alike(self):
        item = Window((Polygons(shapely.box(0, 0, 100, 100), "#000000"),), (20, 30, 60, 70))
        drawing = Drawing(100, 100, "", "", (item,))
        dark = pixels_of(drawing, 200)[..., 0] < 128
        rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
        assert (columns[0], columns[-1], rows[0], rows[-1]) == (40, 119, 60, 139)
        inner = read(drawing).find(SVG + "svg")
        assert [float(inner.get(side)) for side in ("x", "y", "width", "height")] == [20, 30, 40, 40]
        assert inner.get("viewBox") == "20.00 30.00 40.00 40.00" and inner.get("overflow") == "hidden"

    def test_dollar_signs_and_strange_letters_are_only_words(self):
        assert to_png(Drawing(50, 20, "", "", (Text(5, 5, r"$\frac{1}$ 面 _^"),)), 200)[:4] == b"\x89PNG"

    def test_same_bytes_twice(self):
        picture = layout_picture(wedges(), numbers=True)
        assert to_png(picture, 400) == to_png(picture, 400)

    def test_own_settings_of_a_person_change_nothing(self):
        import matplotlib

        picture = layout_picture(squares())
        plain = to_png(picture, 400)
        with matplotlib.rc_context({"savefig.bbox": "tight", "font.size": 30, "savefig.transparent": True}):
            assert to_png(picture, 400) == plain

    def test_pyplot_is_left_alone(self):
        code = (
            "import sys, mosaiclib, shapely\n"
            "from mosaiclib.drawing import Drawing, layout_picture, to_svg, pages\n"
            "from mosaiclib.layout import lay_grid\n"
            "p = layout_picture(lay_grid(shapely.box(0, 0, 108, 64), 20, 2)); to_svg(p)\n"
            "pages(p, heading='x')\n"
            "assert 'matplotlib' not in sys.modules and 'pypdf' not in sys.modules\n"
            "from mosaiclib.drawing import to_png\n"
            "to_png(p, 100)\n"
            "assert 'matplotlib.pyplot' not in sys.modules\n"
        )
        assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0

    def test_figure_has_the_exact_size(self):
        size = to_figure(Drawing(210, 297, "")).get_size_inches() * 25.4
        assert size == pytest.approx([210, 297], abs=1e-9)


def close(ring, other):
    """Say whether each point of a ring lies within 0.01 mm of one of another's, and the other way round."""
    apart = np.hypot(*(ring[:, None] - other[None]).transpose(2, 0, 1))
    return apart.min(axis=1).max() < 0.01 and apart.min(axis=0).max() < 0.01


class TestMirrored:
    def test_twice_is_as_before(self):
        items = (
            Polygons(shapely.box(1, 2, 3, 4)),
            Text(5, 6, "left", anchor="start", turn=30),
            Marks([[7, 8]], [1], ("slash",)),
            Window((Lines(segments([0, 0, 4, 4])),), (0, 0, 3, 3)),
        )
        back = Drawing(50, 20, "", "", items).mirrored().mirrored()
        assert back.items[0].shapes[0].equals(items[0].shapes[0])
        assert back.items[1] == items[1]
        assert np.array(back.items[2].at).tolist() == [[7, 8]]
        assert back.items[3].box == (0, 0, 3, 3)

    def test_words_and_marks_are_not_mirrored(self):
        picture = layout_picture(squares(colour="leaf green"), numbers=True).mirrored()
        text = to_svg(picture)
        assert "scale(" not in text and "matrix(" not in text
        root = ET.fromstring(text)
        assert {found.text for found in of_class(root, "number")} == {str(i) for i in range(1, 9)}
        marks = next(item for item in picture.items if isinstance(item, Marks))
        ends = shapely.get_coordinates(marks.drawn[0].paths[0])
        assert (ends[1] - ends[0] > 0).all()  # a slash still rises to the right

    def test_from_behind_left_and_right_change_places(self):
        layout = squares(3, 1)
        for view, first in (("front", 0), ("behind", 2)):
            picture = layout_picture(layout, view=view, numbers=True)
            texts = [item for item in picture.items if isinstance(item, Text) and item.name == "number"]
            assert int(np.argmin([one.x for one in texts])) == first
            assert f"seen from {'the front' if view == 'front' else view}" in str(picture.description)

    def test_upright_words_keep_their_turn(self):
        assert Text(5, 6, "height", turn=90, anchor="middle").placed(True, 50, 0).turn == 90


class TestPicture:
    def test_no_pieces_give_a_bare_face(self):
        root = read(layout_picture(made([]), numbers=True, key=True, squared=5.0))
        assert not of_class(root, "piece") and len(of_class(root, "outline")) == 1
        assert root[1].text.startswith("0 pieces. The face is 100 mm wide and 60 mm high")

    def test_nothing_to_draw(self):
        with pytest.raises(MosaicError, match="nothing to draw"):
            layout_picture(made([], shapely.Polygon()))

    def test_pieces_without_a_shape(self):
        with pytest.raises(MosaicError, match="no shape"):
            layout_picture(made([shapely.Polygon()]))

    @pytest.mark.parametrize(("name", "value"), [("view", "side"), ("squared", 7.0), ("text_size", 0)])
    def test_unknown_choices(self, name, value):
        with pytest.raises(MosaicError):
            layout_picture(squares(), **{name: value})

    @pytest.mark.parametrize(("unit", "told"), [("mm", ["86 mm", "42 mm"]), ("in", ["3 3/8 in", "1 21/32 in"])])
    def test_dimensions_in_either_unit(self, unit, told):
        root = read(replace(layout_picture(squares(width=20.0, height=20.0)), unit=unit))
        assert [t.text for t in of_class(root, "dimension") if t.text] == told
        assert f"{told[0]}{' (86 mm)' if unit == 'in' else ''} wide" in root[1].text
        assert ("25/32 in (20 mm) by" in of_class(root, "piece")[0][0].text) == (unit == "in")

    def test_squares_are_true(self):
        items = layout_picture(squares(), squared=6.35).items
        light = [item for item in items if isinstance(item, Lines) and item.name == "squared"]
        posts = np.unique(np.round(np.concatenate([shapely.bounds(item.paths) for item in light[:2]])[:, 0], 6))
        assert np.diff(posts[:5]) == pytest.approx([6.35] * 4)
        assert {item.opacity for item in light} == {1.0, 0.45}

    def test_joints_differ_without_colour(self):
        ends = [[21, 0, 21, 20], [43, 0, 43, 20], [65, 0, 65, 20]]
        picture = layout_picture(squares(), joints=(ends, ["fine", "narrow", "wide"]))
        lines = [item for item in picture.items if isinstance(item, Lines) and item.name.startswith("joint ")]
        kinds = {(round(item.line, 3), bool(item.dash)) for item in lines if "key" not in item.name}
        assert len(kinds) == 3
        assert str(picture.description).endswith("too narrow: 1 stretch. Joints that are too wide: 1 stretch.")

    def test_joints_of_unknown_class(self):
        with pytest.raises(MosaicError, match="class of a joint"):
            layout_picture(squares(), joints=([[0, 0, 1, 1]], ["odd"]))

    def test_faces_of_a_vessel_are_named(self):
        layout = squares(4, 1, face=["front", "front", "right", "right"])
        assert [t.text for t in of_class(read(layout_picture(layout)), "face")] == ["front", "right"]

    def test_pieces_of_one_face_keep_their_numbers(self):
        whole = squares(4, 1, face=["front", "front", "right", "right"])
        right = Layout(whole.outline, whole.shapes[2:], whole.pieces.iloc[2:], 2, 1, 3, Tile(20, 4))
        root = read(layout_picture(right, numbers=True))
        assert [t.text for t in of_class(root, "number")] == ["3", "4"]
        assert of_class(root, "piece")[0][0].text.startswith("Piece 3: ")

    def test_pieces_in_parts(self):
        two = shapely.MultiPolygon([shapely.box(0, 0, 9, 9), shapely.box(12, 0, 20, 9)])
        picture = layout_picture(made([two, shapely.box(30, 0, 50, 20)]), numbers=True)
        assert [path.get("d").count("Z") for path in of_class(read(picture), "piece")] == [2, 1]
        assert to_png(picture, 200)[:4] == b"\x89PNG"

    def test_gaps_say_why(self):
        layout = squares()
        gap = Gap(shapely.box(0, 0, 5, 5), "Too thin a splinter.")
        layout = Layout(layout.outline, layout.shapes, layout.pieces, 2, 1, 3, Tile(20, 4), gaps=(gap,))
        assert of_class(read(layout_picture(layout)), "gap")[0][0].text == "Too thin a splinter."

    def test_missing_colours_are_neutral(self):
        root = read(layout_picture(squares(2, 1, colour=[None, float("nan")])))
        assert {path.get("fill") for path in of_class(root, "piece")} == {look("").fill}

    def test_numbers_lie_inside_their_pieces(self):
        layout = made(
            [shapely.Polygon([(0, 0), (20, 0), (10, 17)]), shapely.box(30, 0, 90, 5)], colour=["amber", "red"]
        )
        picture = layout_picture(layout, numbers=True)
        shapes = next(i.shapes for i in picture.items if isinstance(i, Polygons) and i.name == "piece")
        numbers = [i for i in picture.items if isinstance(i, Text) and i.name == "number"]
        for shape, one in zip(shapes, numbers, strict=True):
            half = 0.32 * one.size * len(one.words)
            box = shapely.box(one.x - half, one.y - one.foot, one.x + half, one.y + one.foot)
            assert shape.contains(box)

    def test_ten_thousand_pieces(self):
        assert len(of_class(read(layout_picture(squares(100, 100))), "piece")) == 10_000


class TestPalette:
    def test_known_colours_differ_without_colour(self):
        marks = [one.mark for one in GLASS_COLOURS.values()]
        assert len(set(marks)) == len(marks)

    @given(st.text(max_size=40))
    def test_any_name_has_a_look(self, name):
        one = look(name)
        assert one == look(name) and one.mark in MARKS and re.fullmatch("#[0-9a-f]{6}", one.fill)
        assert contrast(one.ink, one.fill) >= 4.5  # what small words need

    def test_words_on_known_colours_can_be_read(self):
        for one in GLASS_COLOURS.values():
            for shown in (one, one.lightened()):
                assert contrast(shown.ink, shown.fill) >= 4.5

    def test_own_names_bear_no_known_mark(self):
        known = {one.mark for one in GLASS_COLOURS.values()}
        assert not known & {look(f"glass {i}").mark for i in range(200)}

    def test_marks_stay_inside_their_square(self):
        for strokes, spots in MARKS.values():
            for form in (*strokes, *spots):
                assert np.abs(np.array(form)).max() <= 1.2

    @pytest.mark.parametrize("wanted", [15, 40, 80, 95])
    def test_grey_of_a_lightness(self, wanted):
        assert lightness(grey(wanted)) == pytest.approx(wanted, abs=0.5)  # half a step of #rrggbb is up to 0.3

    def test_lightened(self):
        assert look("red").lightened().fill == mix(look("red").fill, WHITE, LIGHTEN)


class TestCanvas:
    @pytest.mark.parametrize("size", [0, -1, float("nan"), float("inf"), "wide"])
    def test_sizes_that_cannot_be(self, size):
        with pytest.raises(MosaicError, match="width of the picture"):
            Drawing(size, 10, "")

    def test_fills_and_sentences_one_each(self):
        with pytest.raises(MosaicError, match="give one each"):
            Polygons([shapely.box(0, 0, 1, 1)], hover=("a", "b"))

    def test_shifted(self):
        moved = Drawing(50, 20, "", "", (Text(1, 2, "a"),)).shifted(3, 4).items[0]
        assert (moved.x, moved.y) == (4, 6)

    def test_lines_are_cut_exactly(self):
        cut = Lines(segments([[0, 5, 100, 5], [0, 50, 100, 50]])).within((10, 0, 60, 20))
        assert [path.wkt for path in cut.paths] == ["LINESTRING (10 5, 60 5)"]


class TestOverALayout:
    """What is given in a layout's coordinates is drawn where the picture has the layout, mirrored with it."""

    @pytest.mark.parametrize("view", ["front", "behind"])
    def test_points_and_shapes_lie_where_the_pieces_lie(self, view):
        layout = squares(3, 2)
        over = [Polygons(layout.shapes, name="core"), Lines(segments([0, 0, 20, 20]), name="line")]
        picture = layout_picture(layout, view=view, over=over, key=True)
        items = {item.name: item for item in picture.items if isinstance(item, Polygons | Lines)}
        assert shapely.equals_exact(items["core"].shapes, items["piece"].shapes, 1e-9).all()
        corners = picture.at(shapely.get_coordinates(layout.shapes))
        assert corners == pytest.approx(shapely.get_coordinates(items["piece"].shapes))
        rises = np.diff(shapely.get_coordinates(items["line"].paths[0])[:, 0])[0]
        assert rises == pytest.approx(20 if view == "front" else -20)

    def test_points_move_with_the_picture(self):
        picture = layout_picture(squares(3, 2))
        assert picture.shifted(3, 4).at([1, 2]) == pytest.approx(picture.at([1, 2]) + np.array([3, 4]))
        x, y = picture.at([1, 2])
        assert picture.mirrored().at([1, 2]) == pytest.approx([picture.width - x, y])
        assert picture.mirrored().mirrored().at([1, 2]) == pytest.approx([x, y])

    def test_over_the_pieces_and_under_their_numbers(self):
        picture = layout_picture(squares(2, 1), numbers=True, over=[Polygons(shapely.box(0, 0, 9, 9), name="core")])
        names = [getattr(item, "name", "") for item in picture.items]
        assert names.index("piece") < names.index("core") < names.index("number")

    def test_tones_take_the_place_of_colours(self):
        tones = ["#111111", "#eeeeee"]
        picture = layout_picture(squares(2, 1, colour="amber"), tones=tones, base="#123456", numbers=True)
        root = read(picture)
        assert [path.get("fill") for path in of_class(root, "piece")] == tones
        assert [path.get("fill") for path in of_class(root, "base")] == ["#123456"]
        for words, tone in zip(of_class(root, "number"), tones, strict=True):
            assert contrast(words.get("fill"), tone) >= 4.5

    def test_one_tone_each(self):
        with pytest.raises(MosaicError, match="tones"):
            layout_picture(squares(2, 1), tones=["#111111"])


class TestWords:
    """Lengths in words are told in the picture's unit when it is written; what a person typed is left alone."""

    def drawing(self, unit):
        words = (Text(5, 5, text("joint ", mm(25.4))), Text(5, 10, "2 mm, as she said"))
        return Drawing(60, 20, "Joint", text(mm(25.4), " wide"), words, unit=unit)

    @pytest.mark.parametrize(("unit", "told"), [("mm", "25.4 mm"), ("in", "1 in")])
    def test_both_writers(self, unit, told):
        root = read(self.drawing(unit))
        assert [found.text for found in root.iter(SVG + "text")] == [f"joint {told}", "2 mm, as she said"]
        assert root[1].text == f"{told} wide"
        buffer = io.BytesIO()
        write_pdf([self.drawing(unit)], buffer)
        with pdfplumber.open(buffer) as book:
            assert book.pages[0].extract_text().splitlines() == ["2 mm, as she said", f"joint {told}"]

    def test_panels_keep_the_lengths(self):
        both = panels([self.drawing("mm")], [text("a ", mm(25.4))], title="", description="")
        said = [found.text for found in read(replace(both, unit="in")).iter(SVG + "text")]
        assert said == ["joint 1 in", "2 mm, as she said", "a 1 in"]


def window_of(drawing):
    """Return the items over the grid of a chart, and the field's box."""
    found = [item for item in drawing.items if isinstance(item, Window)][-1]
    return found.items, found.box


class TestPlot:
    def plot(self, **options):
        return Plot((0, 4), (0, 10), ("joint [mm]", "energy"), ([0, 2, 4], [0, 5, 10]), width=100, height=50, **options)

    def test_points_stand_where_the_axes_say(self):
        plot = self.plot()
        plot.line([0, 4], [0, 10], "#000000")
        (line,), (left, low, right, high) = window_of(plot.drawing("", ""))
        assert shapely.get_coordinates(line.paths[0]) == pytest.approx(np.array([[left, low], [right, high]]))
        assert (right - left, high - low) == pytest.approx((100, 50))

    def test_powers(self):
        plot = Plot((0.1, 10), (1, 2), ("", ""), ((), ()), log=(True, False), width=100)
        assert plot.place([0.1, 1, 10], 0) == pytest.approx([0, 50, 100])
        assert plot.place(0, 0) < 0

    def test_a_curve_that_leaves_the_field_is_cut_and_not_bent(self):
        plot = self.plot()
        plot.line([0, 4], [0, 40], "#000000")
        drawing = plot.drawing("", "")
        (line,), box = window_of(drawing)
        assert shapely.get_coordinates(line.paths[0])[1, 1] == pytest.approx(box[1] + 200)
        dark = pixels_of(drawing, 1000)[: int(5 * 1000 / drawing.width)]
        assert dark.min() > 30  # nothing of the black curve above the field; words are of a softer tone

    def test_dots_outside_are_told(self):
        plot = self.plot()
        plot.dots([1, 5, 2], [1, 1, 11], "#000000")
        drawing = plot.drawing("", "")
        assert len(window_of(drawing)[0][0].shapes) == 1
        assert "2 dots lie outside" in [item.words for item in drawing.items if isinstance(item, Text)]

    def test_several_curves_at_once(self):
        plot = self.plot()
        plot.line([0, 2, 4], np.ones((5, 3)), "#000000")
        assert len(window_of(plot.drawing("", ""))[0][0].paths) == 5

    def test_bars_in_rows_from_the_top_with_their_names(self):
        plot = Plot((0, 10), (2, 0), ("", ""), ([0, 10], ()), height=20)
        assert [plot.bar("first", 2, 8, "#000000"), plot.bar("a second, longer one", 4, 4, "#000000")] == [0, 1]
        drawing = plot.drawing("", "")
        first, second = (item.shapes[0].bounds for item in window_of(drawing)[0])
        assert first[1] > second[3] and second[2] - second[0] == pytest.approx(0.1)
        words = next(item for item in drawing.items if isinstance(item, Text) and item.words.startswith("a second"))
        assert words.x - 0.6 * words.size * len(words.words) > 0

    def test_ticks_with_words(self):
        plot = Plot((0, 10), (0, 1), ("", ""), ({0: "0 h", 10: "a very long time"}, ()))
        drawing = plot.drawing("", "")
        last = next(item for item in drawing.items if isinstance(item, Text) and item.words == "a very long time")
        assert last.x + 0.3 * last.size * len(last.words) <= drawing.width

    def test_title_and_description_are_read_aloud(self):
        root = read(self.plot().drawing("Energy", text("at ", mm(2))))
        assert (root.get("role"), root[0].text, root[1].text) == ("img", "Energy", "at 2 mm")

    @given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4), st.integers(3, 12))
    def test_round_steps_span_their_range(self, low, length, most):
        found = round_steps(low, low + length, most)
        assert found[0] <= low + 1e-6 * length and found[-1] >= low + length - 1e-6 * length
        assert len(found) <= most + 1


class TestCharts:
    @pytest.mark.parametrize("way", WAYS)
    @pytest.mark.parametrize("changed", [{}, {"sd": 0.0, "eye_sd": 0.0}, {"span": 45.0}, {"sd": 0.8, "every": 20}])
    def test_drift_lies_whole_inside_its_axes(self, way, changed):
        drawing = w01_joints.drift_chart(w01_joints.compute(w01_joints.Settings(way=way, **changed)))
        for items, box in ((item.items, item.box) for item in drawing.items if isinstance(item, Window)):
            for item in items:
                x0, y0, x1, y1 = shapely.total_bounds(item.paths if isinstance(item, Lines) else item.shapes)
                assert min(x0 - box[0], y0 - box[1], box[2] - x1, box[3] - y1) > -1e-6
        assert read(drawing)[1].text.startswith("The end of a row of ")

    def test_drift_is_told_in_the_unit_of_the_page(self):
        drawing = w01_joints.drift_chart(w01_joints.compute(w01_joints.Settings()))
        assert " in (" in read(replace(drawing, unit="in"))[1].text

    def test_what_moves_the_verdict_has_1_in_sight(self):
        drawing = w04_energy.tornado_chart(w04_energy.compute(w04_energy.Settings()))
        items, box = window_of(drawing)
        (line,) = (item for item in items if isinstance(item, Lines))
        assert box[0] < shapely.total_bounds(line.paths)[0] < box[2]
        assert "What moves the verdict most is the " in read(drawing)[1].text

    def test_waits_stand_under_their_picture(self):
        steps = {"Can turn": Wait(1, 4, 9), "Cured through": Wait(100, 400, 3000)}
        picture = Drawing(90, 50, "A map", "", (Polygons(shapely.box(0, 0, 90, 50), "#ffffff", name="map"),))
        both = wait_bar(picture, steps, 4.0, key={"soft": "#000000"}, title="Waits", description="")
        moved = next(item for item in both.items if getattr(item, "name", "") == "map")
        left = (both.width - 90) / 2  # in the middle
        assert moved.shapes[0].bounds == pytest.approx((left, both.height - 50, left + 90, both.height))
        items, box = window_of(both)
        bars = [item.shapes[0].bounds for item in items if isinstance(item, Polygons)]
        # time runs with its root: 1, 4 and 9 h lie equally far apart, and 4 h is now
        usual, _, now = (shapely.total_bounds(item.paths)[0] for item in items if isinstance(item, Lines))
        assert [bars[0][0] + bars[0][2], 2 * now] == pytest.approx([2 * usual, 2 * usual])
        assert box[3] < both.height - 50 and bars[1][2] > box[2]
