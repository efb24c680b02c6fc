"""Round and tapered glass: measures and refusals, courses that close, bands across the seam, plans and their sheets."""

import itertools
import json
import math
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
import shapely

from mosaiclib.drawing import write_pdf
from mosaiclib.errors import MosaicError
from mosaiclib.glass import FourSided, Round, Tapered
from mosaiclib.job import Plan, command
from mosaiclib.job.curved import curved, joint_at_bend
from mosaiclib.job.overview import overview
from mosaiclib.job.sheets import piece_sheets
from mosaiclib.job.work import work_out
from mosaiclib.layout import Tile, broken, face_of, lay_courses, lay_faces, neighbours, survey
from mosaiclib.lessons import w06_lines, w06_plan, w06_settings

TILE = Tile(20, 4)
LANTERN = {"kind": "round vessel", "name": "lantern", "girths": [300.0], "heights": [120.0], "wall": 4.0, "base": 6.0}
BEAKER = {
    "kind": "tapered vessel",
    "name": "beaker",
    "girths": [240.0, 340.0],
    "heights": [0.0, 110.0],
    "wall": 4.0,
    "base": 6.0,
}
BOWL = BEAKER | {
    "name": "bowl",
    "girths": [200.0, 330.0, 420.0, 460.0],
    "heights": [0.0, 40.0, 90.0, 130.0],
    "fraction": "quarter",
}
ROW = {"fraction": "quarter"}


def plan(*glass, **joint):
    """A plan of an invented maker with some pieces of glass."""
    record = json.loads((Path(__file__).parent / "plain_plan.json").read_text(encoding="utf-8"))
    joint = record["joint"] | {"least": 1.0, "greatest": 3.2} | joint
    return Plan.made(**record | {"glass": list(glass), "joint": joint, "sheets": ["template", "inside guide"]})


# --- measures ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"neck": 95}, "wider than the glass inside"),
        ({"wall": 48}, "fills glass 95.5 mm across"),
        ({"base": 120}, "floor of 120 mm fills"),
        ({"seam": 300}, "seam must lie"),
        ({"rim_margin": 60, "base_margin": 60}, "leave nothing"),
        ({"girth": 0}, "girth must be greater than 0"),
        ({"girth": math.nan}, "girth"),
        ({"girth": "300"}, "girth"),
    ],
)
def test_no_such_cylinder(change, words):
    with pytest.raises(MosaicError, match=words):
        Round(**{"girth": 300, "height": 120, "wall": 4, "base": 6} | change)


@pytest.mark.parametrize(
    ("girths", "heights", "words"),
    [
        ([200, 300], [0, 0], "heights must rise"),
        ([300, 200, 250], [0, 50, 40], "50 mm comes before 40 mm"),
        ([200, 300], [0, 50, 90], "2 girths and 3 heights"),
        ([300], [0], "2 to 13 heights"),
        ([200, 5], [0, 60], "closes the taper"),
        ([200, 0], [0, 60], "girth"),
        ([200, 2000], [0, 20], "nearly flat"),
        ([200, 26], [0, 60], "fills glass"),
        ([200, "300"], [0, 60], "girth"),
        (200, [0, 60], "girths must be a list"),
    ],
)
def test_no_such_taper(girths, heights, words):
    with pytest.raises(MosaicError, match=words):
        Tapered(girths, heights, 4, 3)


def test_what_is_out_of_true_is_told_and_the_least_counts():
    glass = Round.measured([300, 302], [120, 121], 4, 6, diameters=[94, 97])
    assert (glass.girth, glass.height) == (300, 120)
    told = " ".join(map(str, glass.out_of_square))
    assert "oval: 94 mm across one way and 97 mm the other" in told
    assert "300 to 302 mm: 300 mm counts" in told and "120 to 121 mm: 120 mm counts" in told
    # 94 across is 295 round, 97 is 305: 300 lies between, so girth and diameters agree
    assert "would give" not in told
    assert "would give 314.2 mm" in " ".join(
        map(str, Round.measured([300], [90], 4, 6, diameters=[100, 100]).out_of_square)
    )
    assert Round.measured([], [90], 4, 6, diameters=[100]).girth == pytest.approx(100 * math.pi)
    with pytest.raises(MosaicError, match="Measure the girth"):
        Round.measured([], [90], 4, 6)


def test_a_narrow_neck_is_told():
    wide = Round(900, 200, 4, 6)
    assert not wide.out_of_square
    told = Round(900, 200, 4, 6, neck=10).out_of_square
    assert "opening is 10 mm" in str(told[0]) and "strips" in str(told[0])


def test_inside_guides_are_shorter_by_the_wall():
    jar = Round(300, 120, 4, 6)
    assert jar.inside_template("side") == pytest.approx((300 - 2 * math.pi * 4, 114))
    cone = Tapered([240, 340], [0, 110], 4, 6)
    # the wall is measured square to the glass, its section level is longer by 1/cos of the lean
    lean = math.atan2(100 / (2 * math.pi), 110)
    inner = cone.frusta[0].inside(4)
    assert inner.foot == pytest.approx(240 - 2 * math.pi * 4 / math.cos(lean))
    points = cone.faces[0].edge.at(np.array([0.0, 60.0, 240.0]), 30.0)
    s, v = inner.edge.place(cone.on_guide(cone.faces[0], points))
    assert s / inner.foot == pytest.approx([0, 0.25, 1]) and v == pytest.approx([30.0] * 3)


def test_the_front_faces_the_same_way_on_every_vessel():
    for glass in (FourSided(80, 80, 100, 4, 4), Round(300, 100, 4, 4), Tapered([300, 320], [0, 100], 4, 4)):
        face = glass.faces[0]
        middle = np.array([[(face.x + face.width / 2), face.outline.centroid.y]])
        (spot,), (normal,) = glass.in_space(middle)
        assert spot[1] < 0 and abs(spot[0]) < 1e-6 and normal[1] < -0.9
        (right,), _ = glass.in_space(middle + np.array([5.0, 0.0]))
        assert right[0] > 0  # seen from outside s runs to the right


def test_the_seam_goes_where_it_is_wanted():
    at_back, turned = Round(400, 90, 4, 4), Round(400, 90, 4, 4, seam=100)
    (back,), _ = at_back.in_space(np.array([[0.0, 10.0]]))
    (left,), _ = turned.in_space(np.array([[0.0, 10.0]]))
    assert back[1] > 0 and abs(back[0]) < 1e-9
    assert (
        left[0] < 0 and abs(left[1]) < 1e-9
    )  # a quarter to the right of the back, seen from behind, is the front's left


# --- courses -----------------------------------------------------------------------------------------------


def test_a_cylinder_closes_by_the_joint_that_its_girth_leaves():
    laid = lay_faces(Round(300, 90, 4, 6), TILE, 2, (1, 4))
    assert laid.pieces.groupby("row").size().tolist() == [14] * 4  # 300/14 - 20 = 1.43 mm
    seen = survey(laid)
    assert seen.joint_least == pytest.approx(300 / 14 - 20) and seen.overlaps == 0 and seen.outside == 0
    assert len(neighbours(laid)) == 4 * 14 + 3 * 14  # round each course, and from course to course
    assert not broken(laid)
    with pytest.raises(MosaicError, match=r"14 tiles leave 1.43 mm, 13 tiles leave 3.08 mm"):
        lay_faces(Round(300, 90, 4, 6), TILE, 2, (1.8, 2.2))


def test_joints_and_corners_are_met_round_the_seam():
    laid = lay_faces(Round(220, 42, 3, 3), TILE, 2, (2, 2))
    pairs = {tuple(pair) for pair in neighbours(laid, corners=True).tolist()}
    assert (0, 9) in pairs and (10, 19) in pairs and (0, 19) in pairs and (9, 10) in pairs
    assert survey(laid).joint_length == pytest.approx(2 * 10 * 20 + 10 * 20)


@pytest.mark.parametrize("ease", ["back", "spread", "seam"])
def test_where_the_steps_go(ease):
    face = Tapered([340, 240], [0, 110], 4, 6).faces[0]
    laid = lay_courses(face, 10, 2, (1, 3), ease=ease)
    counts = laid.pieces.groupby("row").size().to_numpy()
    assert len(set(counts)) > 1 and (np.diff(counts) >= 0).all()  # from the rim down there are more
    s, _ = face.edge.place(shapely.get_coordinates(shapely.centroid(laid.shapes)))
    rows = [s[(laid.pieces["row"] == row).to_numpy()] / face.edge.length for row in np.unique(laid.pieces["row"])]
    # how far from a joint the line at a share of the way round lies, in pitches
    off = {at: max(abs(((at - row.min()) * len(row) + 0.5 + 0.5) % 1 - 0.5) for row in rows) for at in (0.0, 0.5)}
    assert (off[0.5] < 1e-6) == (ease == "back") and (off[0.0] < 1e-6) == (ease == "seam")


def test_the_short_side_goes_round():
    laid = lay_faces(Round(300, 90, 4, 6), TILE, 2, (1, 3), fraction="half")
    assert set(laid.pieces["fraction"]) == {"half"} and set(laid.pieces["kind"]) == {"whole"}
    x0, y0, x1, y1 = shapely.bounds(laid.shapes).T
    assert x1 - x0 == pytest.approx(10) and y1 - y0 == pytest.approx(20)


def test_a_wide_tile_is_refused_in_a_sentence():
    with pytest.raises(MosaicError, match="does not go round this glass"):
        lay_faces(Round(60, 90, 4, 6), Tile(30, 4), 2, (1, 3))
    glass = Round(100, 90, 4, 6)
    laid = lay_faces(glass, TILE, 3, (1, 6))
    with pytest.raises(MosaicError, match="more than glass of radius"):
        curved(laid, glass.faces[0], 0.8, 1.0)


def test_joints_between_rings_are_measured():
    glass = Tapered([250, 250, 110], [0, 120, 180], 3, 6, ring_joint=2)
    laid = lay_faces(glass, Tile(10, 4), 2, (1, 3.2))
    face = laid.pieces["face"].to_numpy()
    between = [(a, b) for a, b in neighbours(laid) if face[a] != face[b]]
    upper = int(
        (laid.pieces["row"] == laid.pieces.loc[face == "ring 2", "row"].max()).to_numpy()[face == "ring 2"].sum()
    )
    assert len(between) >= upper  # each tile of the lowest course of the upper ring meets one below


@pytest.mark.parametrize("turn", [-40, -15, 0, 15, 40])
def test_the_joint_at_a_bend_is_that_between_two_straight_pieces(turn):
    """Two walls in section that meet at 0, 0, each with a piece half a joint of 2 mm from there and 5 mm deep, drawn out."""

    def corner(lean, way):
        along, out = np.array([math.sin(lean), math.cos(lean)]), np.array([math.cos(lean), -math.sin(lean)])
        return along * way + out * 5

    low, high = corner(0.0, -1.0), corner(math.radians(turn), 1.0)
    apart = np.dot(high - low, [math.sin(math.radians(turn) / 2), math.cos(math.radians(turn) / 2)])
    assert joint_at_bend(2, turn, 5) == pytest.approx(apart, abs=1e-9)


def test_a_bend_that_closes_its_joint_is_told():
    flared = BEAKER | {"girths": [300.0, 300.0, 400.0], "heights": [0.0, 66.0, 100.0], "fraction": "quarter"}
    told = [
        " ".join(map(str, work_out(plan(flared | {"girths": girths}, edge="cut")).notes))
        for girths in ([300, 300, 400], [300, 300, 300])
    ]
    assert "meet at a bend" in told[0] and "closes" in told[0] and "meet at a bend" not in told[1]


@pytest.mark.parametrize("girths", [[240.0, 340.0], [340.0, 240.0]])
def test_a_tile_on_a_cone_is_judged_where_the_glass_is_narrowest_under_it(girths):
    glass = Tapered(girths, [0, 110], 4, 6)
    laid = lay_faces(glass, Tile(10, 4), 2, (1, 3.2))
    found = curved(laid, glass.faces[0], 0.8, 1.0)
    # in space: a tile's corner that lies nearest to the axis, by the cone's own lean
    spots, _ = glass.in_space(shapely.get_coordinates(laid.shapes))
    lean = math.atan2(abs(girths[1] - girths[0]), math.tau * 110)
    assert found.radius == pytest.approx(np.hypot(*spots[:, :2].T).min() / math.cos(lean), abs=0.02)


def test_an_oval_taper_is_told_by_its_diameters_both_ways():
    oval = BEAKER | {"girths": [], "diameters": [76.0, 110.0], "other_diameters": [76.0, 104.0]}
    made = plan(oval)
    # the girth of an ellipse with half axes 55 and 52, by integrating its arc
    turn = np.linspace(0, math.tau, 20_001)
    arc = np.hypot(55 * np.sin(turn), 52 * np.cos(turn))
    assert made.glass[0].glass(TILE, 0.8, 2.0).girths[1] == pytest.approx(np.trapezoid(arc, turn), abs=1e-4)
    assert "oval" in " ".join(map(str, work_out(made).notes))
    with pytest.raises(MosaicError, match="as many diameters the other way"):
        plan(oval | {"other_diameters": [76.0]})


def test_only_guides_have_a_flap():
    made = plan(LANTERN).made(
        **plan(LANTERN).model_dump(mode="json") | {"sheets": ["template", "dry lay", "inside guide"]}
    )
    (sheets,) = piece_sheets(work_out(made))
    flaps = [
        any(getattr(item, "name", "") == "flap" for sheet in kind for item in _every(sheet.items))
        for kind in (sheets.template, sheets.dry_lay, sheets.inside)
    ]
    assert flaps == [True, False, True]


def _every(items):
    for item in items:
        yield item
        yield from _every(getattr(item, "items", ()))


def test_a_window_on_a_face_shows_both_halves_of_a_piece_on_the_seam():
    glass = Tapered([340, 240], [0, 110], 4, 6)
    laid = lay_faces(glass, Tile(10, 4), 2, (1, 3))
    over = ~shapely.covers(glass.faces[0].outline.buffer(1e-6), laid.shapes)
    assert over.any()  # counts that are odd stand on the seam
    seen = face_of(laid, glass.faces[0].outline, "ring 1")
    assert seen.areas.sum() == pytest.approx(laid.areas.sum(), rel=1e-6)


# --- plans -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("glass", [LANTERN, BEAKER, BOWL], ids=lambda one: one["name"])
def test_a_plan_of_round_glass_keeps_every_rule(glass):
    (piece,) = work_out(plan(glass)).pieces
    assert not piece.broken
    bare = work_out(plan(glass), colours=False).pieces[0]
    assert piece.adhesive == bare.adhesive and sum(one.filler for one in piece.curved) > 0
    told = overview(work_out(plan(glass)))
    assert told["remark"].str.contains("courses from the foot").any()
    assert told["remark"].str.contains("flat tiles gape").any()
    assert told["remark"].str.contains("Round glass rolls").any() and told["remark"].str.contains("No hot wax").any()


@pytest.mark.parametrize(
    ("glass", "face", "drawn"),
    [
        (LANTERN, "side", [[0, 40], [300, 40]]),
        (LANTERN, "side", [[0, 50], [75, 60], [150, 50], [225, 40], [300, 50]]),
        (LANTERN, "side", [[300, 40], [0, 40]]),
        (LANTERN, "side", {"name": "wave", "measures": {"length": 300, "height": 16, "waves": 2}, "x": 150, "y": 60}),
        (BEAKER, "ring 1", [[0, 45], [240, 45]]),
        (BEAKER, "ring 1", [[0, 50], [60, 56], [120, 50], [180, 44], [240, 50]]),
    ],
    ids=["level", "wave", "from the right", "ready-made wave", "level cone", "wave cone"],
)
def test_a_band_closes_round_the_vessel_with_whole_pieces(glass, face, drawn):
    band = {"face": face, "line" if isinstance(drawn, dict) else "points": drawn, "rows": [ROW, ROW]}
    (piece,) = work_out(plan(glass | {"bands": [band]}), colours=False).pieces
    rows = piece.layout.pieces[piece.layout.pieces["band"] == "rows"]
    assert set(rows["kind"]) <= {"whole", "wedge"}  # nothing is cut to make it come out even
    assert not piece.broken
    for _, mine in rows.groupby("row"):  # each piece of a row has one on both sides, across the seam too
        pairs = [pair for pair in neighbours(piece.layout).tolist() if set(pair) <= set(mine.index)]
        assert len(pairs) == len(mine)


@pytest.mark.parametrize(
    ("glass", "face", "around"), [(LANTERN, "side", 300), (BEAKER, "ring 1", 240)], ids=["jar", "cone"]
)
def test_what_crosses_the_seam_keeps_every_rule(glass, face, around):
    turn = np.linspace(0, 2 * np.pi, 16, endpoint=False)
    oval = np.column_stack([around + 40 * np.cos(turn), 60 + 30 * np.sin(turn)]).round(1).tolist()
    upright = [[around / 2, 10], [around / 2 + 10, 100]]
    level = {"face": face, "points": [[0, 40], [around, 40]], "rows": [ROW]}
    for drawn in (
        {"motifs": [{"face": face, "points": oval, "fraction": "quarter"}]},
        {"bands": [level, {"face": face, "points": upright, "rows": [ROW]}]},
    ):
        assert not work_out(plan(glass | drawn), colours=False).pieces[0].broken


def test_a_band_cannot_follow_an_edge_that_is_none():
    with pytest.raises(MosaicError, match="no edge at its sides"):
        work_out(plan(LANTERN | {"bands": [{"face": "side", "edge": True, "rows": [ROW]}]}))


def test_a_band_on_a_ring_that_is_not_there():
    with pytest.raises(MosaicError, match="ring 2"):
        plan(BEAKER | {"bands": [{"face": "ring 2", "points": [[0, 40], [240, 40]], "rows": [ROW]}]})


@pytest.mark.parametrize("adhesive", ["instant glue", "neutral-cure silicone"])
def test_what_slides_is_told(adhesive):
    record = plan(LANTERN).model_dump(mode="json")
    notes = " ".join(
        map(
            str,
            work_out(
                Plan.made(**record | {"adhesive": record["adhesive"] | {"family": adhesive}}), colours=False
            ).notes,
        )
    )
    assert ("they slide" in notes) == (adhesive == "instant glue")


# --- sheets ------------------------------------------------------------------------------------------------


def _paths(path):
    """Return all strokes and outlines of each page of a PDF, shape (n, 2) [mm]."""
    with pdfplumber.open(path) as pdf:
        kinds = [(page.lines, page.curves, page.rects) for page in pdf.pages]
    return [[np.array(one["pts"]) * 25.4 / 72 for kind in page for one in kind if "pts" in one] for page in kinds]


@pytest.mark.parametrize("girths", [[150.0], [130.0, 150.0], [150.0, 120.0]], ids=["cylinder", "cone", "upside down"])
def test_the_rolled_guide_meets_itself_on_paper(tmp_path, girths):
    """The left edge of the paper and the line by its flap, read back from the PDF, are one line once the paper is rolled."""
    made = plan((BEAKER if len(girths) > 1 else LANTERN) | {"girths": girths})
    (sheets,) = piece_sheets(work_out(made))
    write_pdf(sheets.inside, tmp_path / "guide.pdf")
    (paths,) = _paths(tmp_path / "guide.pdf")
    inner = made.glass[0].glass(TILE, 0.8, 2.0).frusta[0].inside(4.0)
    high = inner.slant * (1 - 6 / (inner.high - inner.low))  # from the floor up
    sides = [pair for one in paths for pair in itertools.pairwise(one) if abs(math.dist(*pair) - high) < 0.3]
    sides = sorted((sorted(map(tuple, side), key=lambda xy: xy[1]) for side in sides), key=lambda side: side[0][0])
    left, seam = sides[0], next(side for side in sides if side[0][0] > sides[0][0][0] + 50)
    # rolled, they are one line: along rim and foot they lie as far apart as the inside is round there
    for one, two, girth in zip(left, seam, (inner.top, inner.girth(inner.slant - high)), strict=True):
        chord = girth if inner.foot == inner.top else 2 * girth / inner.angle * math.sin(inner.angle / 2)
        assert abs(math.dist(one, two) - chord) < 0.3


@pytest.mark.parametrize("glass", [LANTERN, BEAKER, BOWL], ids=lambda one: one["name"])
def test_the_command_writes_all_of_a_plan(tmp_path, glass):
    made = plan(glass)
    assert Plan.load(made.save(tmp_path / "plan.json")) == made
    names = {path.name for path in command.plan(tmp_path / "plan.json", tmp_path / "out")}
    assert {f"{glass['name']}.pdf", "cut_list.csv", "buying_list.csv", "overview.csv"} <= names


@pytest.mark.parametrize("glass", [LANTERN, BEAKER], ids=lambda one: one["name"])
def test_a_new_band_of_the_page_closes_and_its_handles_lie_on_it(glass):
    fresh, words = w06_lines._add(w06_settings.settings_of(plan(glass), glass["name"]), False)
    result = w06_plan.compute(fresh)
    rows = result.layout.pieces[result.layout.pieces["band"] == "rows"]
    assert "closes round the glass" in words and set(rows["kind"]) <= {"whole", "wedge"} and not result.piece.broken
    line = w06_lines._guide(result)
    drawn = shapely.linestrings(line.at(np.linspace(0, line.length * (1 - 1e-9), 2000)))
    handles = w06_lines.handles(result)
    assert shapely.distance(shapely.points(handles), drawn).max() < 0.1  # they are rounded to a tenth
    middle, right = w06_lines._on_face(result, handles)
    assert middle == pytest.approx([glass["girths"][0] / 2, fresh.m_y], abs=0.1)
    assert right == pytest.approx([glass["girths"][0], fresh.m_y], abs=0.1)


@pytest.mark.parametrize("rise", [12, 20, 30])
def test_beside_a_wave_the_courses_are_cut_and_nothing_wide_stays_bare(rise):
    wave = {"name": "wave", "measures": {"length": 300, "height": rise, "waves": 2}, "x": 150, "y": 60}
    made = plan(LANTERN | {"bands": [{"face": "side", "line": wave, "rows": [ROW] * 3}]}, edge="cut")
    layout = work_out(made, colours=False).pieces[0].layout
    open_ = shapely.difference(layout.outline, shapely.union_all(shapely.buffer(layout.shapes, 2.0)))
    # a whole course of 300 x 20 mm over or under the wave would be 6000 mm2
    assert open_.area < 0.04 * layout.outline.area
