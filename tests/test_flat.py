"""Flat glass of any outline: what it refuses, what it leaves, how it is laid, planned and told."""

import json
import math
from dataclasses import replace

import numpy as np
import pdfplumber
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.drawing.files import write_pdf
from mosaiclib.errors import MosaicError
from mosaiclib.glass import Flat, Pane, arch, circle, ellipse, pierced, polygon
from mosaiclib.job import Plan, work_out
from mosaiclib.job.overview import overview
from mosaiclib.job.shaped import FlatPart
from mosaiclib.job.sheets import piece_sheets
from mosaiclib.layout import Tile, check, lay_faces, survey
from mosaiclib.lesson.page import Lesson
from mosaiclib.lesson.sweeping import sweep
from mosaiclib.lessons import w06_piece
from mosaiclib.lessons.w06_controls import EDGE, OUTLINES, OWN
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import compute, new_plan
from mosaiclib.lessons.w06_settings import plan_of, settings_of
from mosaiclib.units import INCH

BAD = [None, True, "20", b"2", "", math.nan, math.inf, -1, 0, 10**400, [20], (), {}, np.array([20.0]), 2j]
TILE, JOINT, LIMITS = Tile(20, 4), 2, (1.5, 2.5)
CROSSED = [(0, 0), (100, 100), (100, 0), (0, 100)]
NECKED = [(0, 0), (100, 0), (100, 100), (200, 40), (200, 200), (100, 110), (0, 110)]
RING = {"face": "pane", "edge": True, "rows": [{"fraction": "half"}]}
MOON = {"kind": "shaped pane", "name": "moon", "shape": "circle", "diameters": [300.0]}
CHAPEL = {"kind": "shaped pane", "name": "chapel", "shape": "arch", "width": 250.0, "height": 400.0, "rise": 125.0}
HOLE = {"x": 125.0, "y": 300.0, "diameter": 30.0}
STAR = "M0,0 L80,0 L40,60 Z M30,10 L50,10 L40,25 Z"


def hole(x, y, radius):
    return shapely.Point(x, y).buffer(radius)


def plan(*glass, edge="cut", **more):
    """Return a plan of shaped panes in four colours, tiles of 20 mm."""
    colours = [{"name": name} for name in ("clear", "milk white", "sky blue", "amber")]
    joint = {"wanted": 2.0, "least": 1.5, "greatest": 2.5, "edge": edge}
    return Plan.made(
        name="Shapes", glass=list(glass), tile={"side": 20.0, "thickness": 4.0, "colours": colours}, joint=joint, **more
    )


# --- outlines ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("bad", BAD)
def test_measures_refused(bad):
    for make in (
        lambda: circle(bad),
        lambda: ellipse(200, bad),
        lambda: arch(200, bad, 50),
        lambda: arch(200, 300, bad),
        lambda: Flat.round([300, bad]),
        lambda: Flat(bad),
        lambda: Flat([(0, 0), (100, 0), bad]),
    ):
        with pytest.raises(MosaicError):
            make()


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: polygon(CROSSED), "crosses or touches itself"),
        (lambda: Flat(shapely.Polygon(CROSSED)), "outline of the glass crosses or touches"),
        (lambda: polygon([(0, 0), (50, 0)]), "from 3 to"),
        (lambda: polygon([(0, 0), (100, 0), (100, 50), (0, 50)], 25.1), "radius of 25.1 mm do not both go on"),
        (lambda: arch(200, 300, 101), "rises at most half of that, 100 mm, not 101 mm"),
        (lambda: arch(200, 300, 90, "pointed"), "rises more than half of that"),
        (lambda: arch(200, 80, 90), "does not go on glass 80 mm high"),
        (lambda: arch(200, 300, 90, "flat"), "head of the arch"),
        (lambda: pierced(circle(100), [hole(50, 50, 60)]), "Hole 1 is larger than the glass"),
        (lambda: pierced(circle(100), [hole(50, 50, 9), hole(95, 50, 9)]), "Hole 2 reaches the edge"),
        (lambda: pierced(circle(100), [hole(200, 50, 9)]), "Hole 1 reaches the edge of the glass, or lies outside"),
        (lambda: pierced(circle(100), [hole(40, 50, 9), hole(50, 50, 9)]), "Holes 1 and 2 touch each other"),
        (lambda: Flat(shapely.box(0, 0, 9, 9) - shapely.box(0, 2, 3, 3), margin=4.5), "leave nothing of glass of 9 x 9"),
        (lambda: Flat(circle(100), margin=50), "leave nothing"),
        (lambda: Flat(circle(100), margin=-1), "margin"),
        (lambda: Flat.round([]), "at least once"),
        (lambda: circle(100, 2), "number of sides"),
    ],
)  # fmt: skip
def test_what_cannot_be_made_is_told(make, words):
    with pytest.raises(MosaicError, match=words):
        make()


def test_a_margin_that_parts_the_face_is_told():
    whole, parted = Flat(NECKED, margin=4), Flat(NECKED, margin=6)
    assert whole.out_of_square == ()
    (told,) = parted.out_of_square
    assert "parts the face in 2" in str(told)
    assert parted.strip.area < whole.strip.area / 1.5


def test_diameters_that_disagree_are_told_and_the_least_counts():
    flat = Flat.round([302, 300.2, 301], margin=5)
    (told,) = flat.out_of_square
    assert "from 300.2 to 302 mm" in str(told) and "300.2 mm counts" in str(told)
    assert flat.inside_template() == pytest.approx((300.2, 300.2))
    assert Flat.round([300.0, 300.3]).out_of_square == () == Flat.round([300]).out_of_square


@given(st.floats(30, 2000), st.floats(30, 2000), st.floats(0, 0.45), st.floats(-500, 500))
@settings(deadline=None, max_examples=40)
def test_a_rectangle_as_an_outline_is_the_pane(width, height, share, at):
    margin = share * min(width, height)
    flat, pane = Flat(shapely.box(at, at, at + width, at + height), margin=margin), Pane(width, height, margin=margin)
    assert np.allclose(flat.strip.bounds, pane.strip.bounds, atol=1e-9)
    assert flat.edge_length == pytest.approx(pane.edge_length, abs=1e-9)
    assert flat.faces[0].rectangular and flat.inside_template() == pytest.approx(pane.inside_template(), abs=1e-9)


# --- laid --------------------------------------------------------------------------------------------------

SHAPES = {
    "circle": circle(300),
    "ellipse": ellipse(400, 250),
    "round arch": arch(250, 400, 125),
    "pointed arch": arch(250, 400, 200, "pointed"),
    "octagon": circle(300, 8),
    "holed": pierced(circle(300), [hole(150, 150, 40)]),
    "rounded": polygon([(0, 0), (300, 0), (250, 200), (0, 200)], 40),
}


@pytest.mark.parametrize("name", SHAPES)
def test_cut_border_pieces_fill_any_outline_without_slivers(name):
    laid = lay_faces(Flat(SHAPES[name], margin=3), TILE, JOINT, LIMITS, border="cut")
    found = survey(laid)
    assert found.overlaps == 0 and found.least_width >= 3 and not check.broken(laid)
    assert shapely.covers(laid.outline.buffer(1e-6), laid.shapes).all()
    # a joint runs along two sides of each tile of a grid: what is neither glass nor joint is told
    told = sum(gap.shape.area for gap in laid.gaps)
    assert laid.filler_area - told < 0.24 * laid.outline.area
    assert (laid.pieces["face"] == "pane").all()


@pytest.mark.parametrize("name", ["circle", "ellipse", "round arch", "pointed arch", "octagon", "holed"])
def test_a_face_alike_on_both_sides_is_laid_so(name):
    laid = lay_faces(Flat(SHAPES[name]), TILE, JOINT, LIMITS, border="cut")
    x0, _, x1, _ = laid.outline.bounds
    mirrored = shapely.transform(laid.shapes, lambda xy: np.array([x0 + x1, 0]) + xy * [-1, 1])
    glass = shapely.union_all(laid.shapes)
    assert glass.symmetric_difference(shapely.union_all(mirrored)).area < 0.01 * glass.area


def test_whole_tiles_stay_inside_a_round_pane():
    laid = lay_faces(Flat(circle(300)), TILE, JOINT, LIMITS)
    corners = shapely.get_coordinates(laid.shapes)
    assert np.hypot(*(corners - 150).T).max() <= 150
    assert (laid.pieces["kind"] == "whole").all() and len(laid.gaps) == 1
    # brute force: every place of the same grid whose four corners lie in the circle
    x = np.array([21 + 22 * k for k in range(-7, 7)]) + 150 - 21 - 10 + 0.0
    inside = [
        (a, b)
        for a in x
        for b in x
        if max(math.hypot(p - 150, q - 150) for p in (a, a + 20) for q in (b, b + 20)) <= 150
    ]
    assert len(laid) == len(inside)


def test_a_ring_along_the_edge_touches_it_and_the_grid_lies_inside():
    layout = work_out(plan(MOON | {"bands": [RING]}), colours=False).pieces[0].layout
    rows = (layout.pieces["band"] == "rows").to_numpy()
    away = np.hypot(*(shapely.get_coordinates(shapely.centroid(layout.shapes)) - 150).T)
    assert away[rows].min() > away[~rows].max()
    off = shapely.hausdorff_distance(shapely.union_all(layout.shapes[rows]).convex_hull, layout.outline)
    assert off < 1  # the ring's straight outer edges lie just inside the circle
    assert set(layout.pieces.loc[rows, "kind"]) == {"wedge"}


def test_a_motif_may_fill_the_whole_face():
    done = work_out(plan(MOON | {"motifs": [{"face": "pane", "edge": True}]}), colours=False)
    bands = set(done.pieces[0].layout.pieces["band"])
    assert bands <= {"rows", "middle"} and done.count > 200


def test_rows_along_an_edge_that_fill_more_than_the_face_are_refused():
    with pytest.raises(MosaicError, match="Rows along the edge fill more than the face"):
        work_out(plan(MOON | {"diameters": [90.0], "bands": [RING | {"rows": [{"fraction": "whole"}] * 5}]}))


# --- planned -----------------------------------------------------------------------------------------------


def test_a_rectangle_as_an_outline_is_planned_as_the_pane_is():
    corners = [[0.0, 0.0], [230.0, 0.0], [230.0, 164.0], [0.0, 164.0]]
    shaped = {"kind": "shaped pane", "name": "one", "shape": "polygon", "points": corners, "margin": 4.0}
    pane = {"kind": "pane", "name": "one", "width": 230.0, "height": 164.0, "margin": 4.0}
    for edge in ("equal", "joint", "cut"):
        line = {"name": "bow", "measures": {"width": 120.0, "rise": 30.0}, "x": 110.0, "y": 70.0}
        bands = [] if edge == "joint" else [{"face": "pane", "line": line, "rows": [{"fraction": "quarter"}]}]
        one, two = (work_out(plan(part | {"bands": bands}, edge=edge)) for part in (shaped, pane))
        ours, theirs = one.pieces[0].layout, two.pieces[0].layout
        assert ours.pieces.equals(theirs.pieces)
        assert np.allclose(shapely.get_coordinates(ours.shapes), shapely.get_coordinates(theirs.shapes), atol=1e-9)
        assert overview(one).equals(overview(two)) and one.colours.equals(two.colours)
        for name in ("joints", "beads", "adhesive"):
            assert getattr(one.pieces[0], name) == pytest.approx(getattr(two.pieces[0], name), abs=1e-9)
        sheets = [[sheet.title for set_ in piece_sheets(done) for sheet in set_.all] for done in (one, two)]
        assert sheets[0] == sheets[1]


def test_an_overview_tells_area_and_steps_truly():
    done = work_out(plan(MOON | {"diameters": [302.0, 300.0, 301.0]}, edge="equal"))
    face = overview(done).iloc[0]
    assert f"{math.pi * 15**2:.0f} cm²" in face["remark"] and "joint 2 mm across, 2 mm down" in face["remark"]
    notes = " ".join(map(str, done.notes))
    assert "300 mm counts" in notes and "whole tiles end in steps" in notes
    cut = work_out(plan(MOON))
    assert not any("steps" in str(note) for note in cut.notes) and not cut.wide_strips
    assert "cut" in overview(cut).iloc[0]["remark"]


def test_holes_are_covered_by_nothing():
    done = work_out(plan(CHAPEL | {"holes": [HOLE], "margin": 5.0}))
    layout = done.pieces[0].layout
    assert shapely.distance(layout.shapes, shapely.Point(125, 300)).min() == pytest.approx(15 + 5, abs=0.1)
    assert done.pieces[0].glass.edge_length == pytest.approx(240 + 2 * 270 + math.pi * 120 + math.pi * 40, rel=1e-4)


@pytest.mark.parametrize(
    ("part", "words"),
    [
        (MOON | {"width": 200.0}, "glass in the shape of a circle has no width; it has: diameters"),
        ({name: value for name, value in MOON.items() if name != "diameters"}, "a circle needs its diameters"),
        (CHAPEL | {"rise": 130.0}, "rises at most half"),
        (CHAPEL | {"holes": [HOLE | {"y": 395.0}]}, "Hole 1 reaches the edge"),
        (MOON | {"shape": "blob"}, "shape"),
        (MOON | {"shape": "own", "diameters": None, "path": "M0,0 L9,9", "width": 90.0}, "open"),
        (MOON | {"shape": "polygon", "diameters": None, "points": [list(map(float, one)) for one in CROSSED]}, "crosses"),
        (MOON | {"bands": [RING | {"points": [[0.0, 0.0], [9.0, 9.0]]}]}, "needs one of these and no other"),
        (MOON | {"bands": [RING | {"face": "front"}]}, "has no face"),
    ],
)  # fmt: skip
def test_a_file_is_refused_in_a_sentence(part, words):
    with pytest.raises(MosaicError, match=words):
        plan(part)


def test_an_own_drawing_is_as_wide_as_it_says_with_its_further_lines_as_holes(tmp_path):
    own = plan({"kind": "shaped pane", "name": "kite", "shape": "own", "path": STAR, "width": 240.0})
    outline = own.glass[0].glass(None, 0, 0).outline
    assert outline.bounds == pytest.approx((0, 0, 240, 180)) and len(outline.interiors) == 1
    assert outline.area == pytest.approx(9 * (80 * 60 / 2 - 20 * 15 / 2))
    assert Plan.load(own.save(tmp_path / "kite.json")) == own
    short = {name: value for name, value in CHAPEL.items() if name != "head"}
    assert FlatPart.model_validate(short).head == "round"
    assert "width" not in json.loads(plan(MOON).text())["glass"][0]


# --- printed -----------------------------------------------------------------------------------------------


def printed(part, folder, **more):
    """Return of each template sheet, read back from the PDF, the points of the glass's outline and the register crosses [mm]."""
    ((template, *_),) = [(one.template, one.first) for one in piece_sheets(work_out(plan(part, **more)))]
    file = folder / "sheets.pdf"
    write_pdf(template, file)
    found = []
    with pdfplumber.open(file) as pdf:
        for page in pdf.pages:
            lines = [np.array(one["pts"]) * INCH / 72 for one in page.curves]
            rings = [one for one in lines if np.ptp(one, axis=0) == pytest.approx(3.6, abs=0.02)]
            found.append((max(lines, key=np.ptp), [(one.min(axis=0) + one.max(axis=0)) / 2 for one in rings]))
    return found


def test_a_round_template_is_round_at_true_scale_and_its_sheets_meet(tmp_path):
    sheets = printed(MOON | {"bands": [RING]}, tmp_path)
    assert len(sheets) == 4
    meeting = []
    for points, crosses in sheets:
        # least squares: |p|^2 = 2 p.c + r^2 - |c|^2
        (x, y, rest), *_ = np.linalg.lstsq(np.column_stack([2 * points, np.ones(len(points))]), (points**2).sum(axis=1))
        assert math.sqrt(rest + x * x + y * y) == pytest.approx(150, abs=0.02)
        meeting += [(cross - [x, y]).round(2).tolist() for cross in crosses]
    # each cross, from the middle of the circle, is on as many sheets as meet there
    off = np.hypot(*(np.array(meeting)[:, None] - np.array(meeting)).transpose(2, 0, 1))
    assert ((off < 0.3).sum(axis=1) >= 2).all() and len(meeting) == 12


def test_an_arched_template_has_its_width_height_and_hole(tmp_path):
    sheets = printed(CHAPEL | {"holes": [HOLE], "margin": 5.0}, tmp_path)
    for points, _ in sheets:
        assert np.ptp(points, axis=0) == pytest.approx((250, 400), abs=0.02)


# --- on the page -------------------------------------------------------------------------------------------


def shown(outline):
    """Return the page's settings for a bare shaped pane of an outline."""
    start = settings_of(new_plan("shapes"))
    turned = follow(start, replace(start, glass="a shaped pane", flat_shape=outline))
    return settings_of(plan_of(turned))


@pytest.mark.parametrize("outline", OUTLINES)
def test_every_control_of_a_shaped_pane_goes_from_end_to_end(outline, tmp_path):
    lesson = Lesson(w06_piece, shown(outline), tmp_path)
    seen = {name for name, field in lesson.fields.items() if not field.hidden}
    own = {name for name in seen if lesson.fields[name].control.path.startswith("flat.")} | {"flat_holes"}
    assert sweep(lesson, leave=set(lesson.fields) - own).unexpected == [] and len(own) > 3
    folds = [lesson.fields[name].control.fold for name in seen]
    assert max(map(folds.count, folds)) <= 4


@pytest.mark.parametrize("part", [MOON | {"bands": [RING]}, CHAPEL | {"holes": [HOLE], "margin": 5.0}])
def test_the_page_gives_the_plan_back(part):
    asked = plan(part)
    assert plan_of(settings_of(asked)) == asked


def test_a_line_along_the_edge_becomes_points_of_ones_own_and_comes_back():
    start = settings_of(plan(CHAPEL | {"bands": [RING]}))
    assert start.shape == EDGE
    mine = follow(start, replace(start, shape=OWN))
    along = shapely.points(mine.band_points)
    edge = compute(start).layout.outline.exterior
    assert shapely.distance(edge, along) == pytest.approx(5 + 0.3, abs=0.1)  # half a tile cut in half, and a little
    assert plan_of(follow(mine, replace(mine, shape=EDGE))) == plan_of(start)


def test_a_pane_is_cut_to_a_drawing_and_a_poor_one_changes_nothing(tmp_path):
    lesson = Lesson(w06_piece, settings_of(new_plan("kite")), tmp_path)
    trace = next(action for action in w06_piece.actions(tmp_path) if action.name == "trace")
    kite = b'<svg><path id="kite" d="M0 0 L 60 0 L 80 50 L 30 90 Z"/></svg>'
    found, said = trace.run(lesson.settings, {"name": "kite.svg", "content": kite})
    assert "kite of kite.svg is the outline of kite now" in said and found.flat_shape == "my own drawing"
    assert compute(found).layout.outline.bounds == pytest.approx((0, 0, 200, 225))
    open_ = b'<svg><path d="M0 0 L 60 0 L 80 50"/></svg>'
    for bad, words in (
        (open_, "no line that closes"),
        (kite.replace(b"60 0 L 80 50 L 30 90", b"60 0 L 0 50 L 60 50"), "crosses or touches itself"),
    ):
        with pytest.raises(MosaicError, match=words):
            trace.run(lesson.settings, {"name": "bad.svg", "content": bad})
