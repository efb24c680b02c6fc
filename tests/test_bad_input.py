"""Whatever is given to the layout room, a sentence comes back: no call ends in any other exception."""

import inspect
import math

import numpy as np
import pytest
import shapely

from mosaiclib import layout
from mosaiclib.errors import MosaicError
from mosaiclib.glass import FourSided, Pane, Round
from mosaiclib.layout import Gap, Guide, JointLimits, Rows, Tile, join, lay_field, lay_grid, lay_rows, survey
from mosaiclib.layout.refused import nothing_laid
from mosaiclib.layout.rowspec import read_rows, stack
from mosaiclib.layout.spans import trace

FACE = shapely.box(0, 0, 120, 80)
LINE = Guide([(0, 40), (120, 40)])
BAND = lay_rows(LINE, {"tile": 20}, 2, FACE)
FIELD = lay_field(FACE, BAND, 20, 2, search="none")
GRID = lay_grid(FACE, 20, 2)
VESSEL = FourSided(160, 120, 140, 5, 8)
WHOLE = {
    "outline": FACE,
    "shapes": list(BAND.shapes),
    "pieces": BAND.pieces,
    "tile": BAND.tile,
    "gaps": (),
    "spans": (),
}
SIZES = {"width": 20, "height": 20}
PLACED = {"x": 10, "y": -5, "turned": 30}
DRAWN = '<svg viewBox="0 0 9 9"><path id="leaf" d="M0 0 A 5 5 0 0 0 8 0 A 5 5 0 0 0 0 0 z"/></svg>'
RING = Guide([(40, 0), (0, 40), (-40, 0), (0, -40)], closed=True)
GOOD = {  # one call of every public name that works, its arguments by name
    "Gap": {"shape": FACE, "why": "left open"},
    "Guide": {"points": [(0, 0), (50, 0), (90, 40)], "closed": False, "corners": (1,)},
    "Guide.fit": {"points": [(i, i % 2) for i in range(0, 60, 3)], "tolerance": 1.0, "closed": False},
    "JointLimits.read": {"joint": 2, "limits": (1.7, 2.3)},
    "Layout": {**WHOLE, "joint": 2, "joint_min": 1.7, "joint_max": 2.3, "corner_gap": 0.0, "seams": ()},
    "Rows": {"tile": 20, "fraction": "half", "turned": False, "count": 1, "nip_loss": 0.0},
    "SvgDrawing.of_text": {"text": DRAWN, "name": "Leaf", "length": 120, "of": "height", **PLACED},
    "Tile": {"side": 20, "thickness": 4, "back_side": 19.0, "colour": "red"},
    "balanced_border": {"span": 100, "tile": 20, "joint": 2},
    "best_fit": {"span": 100, "tile": 20, "joint": 2, "joint_min": 1, "joint_max": 3, "edge_rule": "equal"},
    "best_grids": {
        **{
            "face": FACE,
            "around": BAND,
            "tile": 20,
            "joint": 2,
            "limits": (1.7, 2.3),
            "pattern": "grid",
            "angle": (0, 30),
        },
        **{"search": "none", "tolerance": 0.3, "least": 2.0},
    },
    "blanks": {"layout": BAND},
    "broken": {"layout": BAND},
    "face_of": {"layout": GRID, "outline": shapely.box(0, 0, 60, 80), "name": ""},
    "facing": {"shapes": list(BAND.shapes), "pairs": [[0, 1]], "reach": 3.0},
    "gauge_classes": {"layout": BAND, "step": 0.5},
    "join": {"rows": BAND, "field": FIELD},
    "join_faces": {"glass": Pane(120, 80), "laid": [GRID]},
    "joint_fits": {"span": 100, "tile": 20, "joint_min": 1, "joint_max": 3, "edge": 0.0},
    "joints_by_place": {"layout": BAND},
    "joints_of": {"layout": BAND, "reach": 3.0},
    "lay": {
        **{"face": FACE, "lines": [LINE, shapely.box(40, 10, 80, 70)], "tile": 20, "joint": 2, "limits": (1.7, 2.3)},
        **{"rows": {"tile": 20}, "meet": "over", "stroke": "later", "corner": "mitre", "field": "grid", "angle": 0.0},
        "search": "none",
    },
    "lay_courses": {
        **{"face": Round(300, 90, 4, 6).faces[0], "tile": 20, "joint": 2.5, "limits": (1, 4), "edge_rule": "equal"},
        **{"border": "clear", "fraction": "whole", "ease": "back", "between": None},
    },
    "lay_faces": {
        **{"glass": VESSEL, "tile": Tile(20, 4), "joint": 2, "limits": (1, 3), "edge_rule": "equal", "border": "clear"},
        "ready": None,
    },
    "lay_field": {
        **{"face": FACE, "around": BAND, "tile": 20, "joint": 2, "limits": (1.7, 2.3), "pattern": "grid", "angle": 0.0},
        **{"search": "none", "shift": (0, 0), "tolerance": 0.3, "least": 2.0},
    },
    "lay_grid": {"face": FACE, "tile": 20, "joint": 2, "border": "clear", "limits": (1, 3), "edge": (0, 0)},
    "lay_rows": {"guide": LINE, "rows": {"tile": 20}, "joint": 2, "face": FACE, "limits": (1.7, 2.3), "bought": False},
    "motif": {
        **{"outline": shapely.box(0, 0, 70, 60), "tile": 20, "joint": 2, "fraction": "half", "limits": (1.7, 2.3)},
        "middle": "piece",
    },
    "natural_radius": {"wide": 10, "narrow": 8, "height": 10, "joint": 1},
    "neighbours": {"layout": BAND, "corners": False},
    "lined_up": {"layout": BAND},
    "measured": {"layout": BAND},
    "outlined": {"rows": {"tile": 20}, "tile": 20, "fraction": "half"},
    "off_the_line": {"layout": BAND, "guide": LINE, "rows": {"tile": 20}, "joint": 2},
    "piece_table": {"count": 2, "face": "front", "place": [1, 2]},
    "straight_cuts": {"layout": BAND},
    "survey": {"layout": BAND, "joint_min": 1.7, "joint_max": 2.3},
    "tightest_radius": {**SIZES, "joint": 2, "narrow_min": 7},
    "uncut_radius": {**SIZES, "joint_min": 1, "joint_max": 3},
    "arc": {"radius": 60, "degrees": 90, **PLACED},
    "bow": {"width": 100, "rise": 20, **PLACED},
    "ellipse": {"width": 100, "height": 60, **PLACED},
    "heart": {"width": 100, "height": 90, **PLACED},
    "leaf": {"length": 100, "width": 40, **PLACED},
    "outline_of": {"guide": RING, "tolerance": 0.1},
    "polyline": {"points": [(0, 0), (50, 0), (90, 40)], "closed": False, **PLACED},
    "ring": {"radius": 60, **PLACED},
    "rounded_rectangle": {"width": 100, "height": 60, "radius": 10, **PLACED},
    "s_ribbon": {"width": 100, "height": 40, **PLACED},
    "spiral": {"width": 100, "turns": 2, "inner": 20, **PLACED},
    "star": {"width": 100, "points": 5, "inner": 40, **PLACED},
    "straight": {"length": 100, **PLACED},
    "wave": {"length": 200, "height": 30, "waves": 2, **PLACED},
    "wedge": {"inside_radius": 60, **SIZES, "joint": 2},
}
FOUND = {
    "Border",
    "Facing",
    "Fit",
    "Grid",
    "LinedUp",
    "Layout.coloured",
    "Span",
    "Survey",
    "SvgDrawing",
    "Wedge",
}  # made by the room, not by hand


def odd_values(rng):
    """Return what nobody should give: wrong kinds, wrong lengths, numbers out of reach, and some at random."""
    numbers = [math.nan, math.inf, -math.inf, -1, 0, 1e12, 10**400, 1j, True, *rng.normal(0, 100, 3).tolist()]
    texts = ["", "x", "2 mm", b"x", "no"]
    sequences = [(), (1,), (1, 2, 3), ("a", "b"), [math.nan, 0], [[1]], [[1, 2, 3]], [None], range(3), {1, 2}, {"a": 1}]
    arrays = [np.zeros(0), np.zeros((2, 3)), np.array(["a"]), np.array([math.nan, 1]), rng.normal(0, 50, (4, 2))]
    shapes = [shapely.Point(0, 0), shapely.Polygon(), shapely.LineString([(0, 0), (1, 1)]), shapely.MultiPolygon()]
    shapes += [
        shapely.box(-1, -1, 1, 1),
        shapely.GeometryCollection(),
        shapely.Polygon([(0, 0), (9, 9), (9, 0), (0, 9)]),
    ]
    things = [None, object(), int, len, slice(0), iter([1]), BAND, LINE, GRID.pieces, Tile(20, 4), {"tile": None}]
    points = [
        [(0, 0), (1, "a")],
        [(0, 0), (0, 0)],
        [(0, 0), (50, 0), (10, 0)],
        [{"tile": 20}],
        [{"tile": 20, "turned": "no"}],
    ]
    return [*numbers, *texts, *sequences, *arrays, *shapes, *things, *points]


def named(name):
    made = layout
    for part in name.split("."):
        made = getattr(made, part)
    return made


def call(name, given):
    return named(name)(**given)


def arguments(name):
    """Return every argument that a name takes, those left out of its good call too."""
    asked = inspect.signature(named(name)).parameters.values()
    return dict.fromkeys([*GOOD[name], *(one.name for one in asked if one.kind != one.VAR_KEYWORD)])


def test_every_public_name_is_tried():
    callables = {name for name in layout.__all__ if callable(getattr(layout, name))} - FOUND
    assert callables == {name for name in GOOD if "." not in name} | {"JointLimits"}
    for name, given in GOOD.items():
        call(name, given)


@pytest.mark.filterwarnings("ignore::RuntimeWarning")  # what numpy and shapely say of nonsense is no matter here
@pytest.mark.parametrize("name", GOOD)
def test_any_one_argument_wrong_is_told_in_a_sentence(name):
    rng = np.random.default_rng([12, *name.encode()])
    for argument in arguments(name):
        for value in odd_values(rng):
            try:
                call(name, GOOD[name] | {argument: value})
            except MosaicError as told:
                assert str(told)[0].isupper() and str(told).endswith((".", ".)")), f"{argument}: {told}"
            except Exception as other:
                pytest.fail(f"{name}({argument}={value!r}): {type(other).__name__}: {other}")


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
@pytest.mark.parametrize("seed", range(20))
def test_several_arguments_wrong_at_once(seed):
    rng = np.random.default_rng(seed)
    odd = odd_values(rng)
    for name, given in GOOD.items():
        wrong = {argument: odd[rng.integers(len(odd))] for argument in arguments(name) if rng.random() < 0.5}
        try:
            call(name, given | wrong)
        except MosaicError:
            pass
        except Exception as other:
            pytest.fail(f"{name}({wrong!r}): {type(other).__name__}: {other}")


# --- each refusal says what is the matter ------------------------------------------------------------

ROOM = shapely.box(0, 0, 100, 10)
NOTHING = {  # line, rows, joint, face; the words that name the reason and what was typed
    "off the glass": ([(300, 0), (350, 0)], {"tile": 20}, 2, FACE, ["not on the glass"]),
    "too short": ([(0, 0), (3, 0)], {"tile": 20}, 2, None, ["3 mm long", "20 mm"]),
    "too short on the glass": ([(117, 40), (160, 40)], {"tile": 20}, 2, FACE, ["3 mm", "20 mm"]),
    "joint too wide": ([(0, 0), (50, 0)], {"tile": 20}, 100, None, ["joint of 100 mm", "50 mm long"]),
    "glass too narrow": ([(0, 5), (100, 5)], {"tile": 20, "count": 6}, 2, ROOM, ["edge of the glass", "4.2 mm"]),
}


@pytest.mark.parametrize("case", NOTHING)
def test_a_line_without_pieces_is_refused_with_its_reason(case):
    line, rows, joint, face, words = NOTHING[case]
    with pytest.raises(MosaicError, match=r"^No piece can be laid along this line: ") as told:
        lay_rows(line, rows, joint, face)
    assert all(word in str(told.value) for word in words), told.value


def test_a_bend_too_tight_for_any_row_is_told():
    """A coil with a radius of 8 mm: the inside edge of a row of 20 mm would run backwards all along it."""
    t = np.linspace(0, 6 * np.pi, 200)
    line = Guide(np.c_[20 + 8 * np.cos(t) + t, 40 + 8 * np.sin(t)])
    rows = stack(read_rows({"tile": 20}), 2)
    told = str(nothing_laid(trace(line, rows, FACE), rows, 2, FACE, 4.2))
    assert "bends too tightly for rows that are 20 mm high" in told


@pytest.mark.parametrize("limits", [(5, 6), (0, 0.5), (2.3, 1.7)])
def test_limits_hold_the_joint(limits):
    low, high = map("{:g}".format, limits)
    for ask in (
        lambda: lay_rows(LINE, {"tile": 20}, 2, limits=limits),
        lambda: lay_field(FACE, BAND, 20, 2, limits=limits),
    ):
        with pytest.raises(MosaicError, match=f"joint.*2 mm.*{low}.*{high} mm"):
            ask()


def test_a_field_without_limits_of_its_own_keeps_those_of_the_rows():
    with pytest.raises(MosaicError, match=r"joint.*5 mm.*1\.7 to 2\.3 mm"):
        lay_field(FACE, BAND, 20, 5)


def test_two_layouts_that_overlap_are_not_joined():
    across = lay_rows([(60, 0), (60, 80)], {"tile": 20}, 2, FACE)
    for one, two in ((BAND, across), (BAND, BAND), (across, GRID)):
        with pytest.raises(MosaicError, match="overlap near"):
            join(one, two)
    assert len(join(BAND, FIELD)) == len(BAND) + len(FIELD)


def test_what_a_maker_types_first_works():
    laid = lay_rows([(0, 40), (60, 60), (120, 40)], [{"tile": 20}], 2, FACE)
    assert survey(laid).overlaps == 0
    assert len(lay_rows(np.array([[0, 40], [120, 40]]), Rows(20), 2.0, FACE)) == len(BAND)


def test_sentences_name_what_was_typed():
    for ask, words in (
        (lambda: Rows(20, turned="no"), "True or False, not 'no'"),
        (lambda: lay_rows(LINE, {"tile": 20}, 2, bought="x"), "True or False, not 'x'"),
        (lambda: survey(None), "layout.*lay_rows.*not None"),
        (lambda: lay_field(FACE, None, 20, 2), "lay_rows.*not None"),
        (lambda: lay_field(FACE, BAND, 20, 2, shift=(1,)), r"shift.*list of 2, not \(1,\)"),
        (lambda: JointLimits.read(2, 5), "limits of the joint.*list of 2, not 5"),
        (lambda: Gap(shapely.GeometryCollection(), "why"), "gap must be an area"),
    ):
        with pytest.raises(MosaicError, match=words):
            ask()
