"""Lesson 02, lines that cross and a motif: what lies on top, what a meeting costs, handles, and drawings that are kept."""

import json
import math
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
import shapely

from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan, work_out
from mosaiclib.job.sketch import Sketch
from mosaiclib.layout import Rows, Tile, lay
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import w02_crossing as cross
from mosaiclib.lessons import w02_motif as motif
from mosaiclib.lessons import w02_rows as rows
from mosaiclib.reference import DATA

ROOT = Path(__file__).parents[1]
PARTS = [rows, cross, motif]
FLAT = cross.Settings(first="straight", second="straight", angle=90.0)


def pieces_of(result, name):
    return result.layout.shapes[(result.layout.pieces["line"] == name).to_numpy()]


# --- what lies on top ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("top", "whole"), [("the first line", 0), ("the second line", 1)])
def test_the_line_on_top_is_laid_as_if_it_were_alone(top, whole):
    result = cross.compute(cross.Settings(top=top))
    line = {"guide": result.guides[whole], "rows": [Rows(Tile(20, 4.0), "quarter")] * 2}
    alone = lay(shapely.box(0, 0, 200, 150), [line], 20, 2, limits=(1.7, 2.3), field=None)
    laid = pieces_of(result, cross.NAMES[whole])
    assert len(laid) == len(alone) and shapely.equals_exact(laid, alone.shapes, 1e-6).all()
    lines = set(result.layout.pieces["line"].to_numpy()[result.meeting.cut])
    assert lines == {cross.NAMES[1 - whole]}, "only pieces of the line below are cut"


def test_a_square_crossing_takes_its_rows_and_their_joints_of_the_line_below():
    """Two rows of 10 mm with joints of 2 mm between and beside them: 26 mm, 13 on either side of x = 100, within the joint's limits."""
    result = cross.compute(FLAT)
    below = pieces_of(result, "first line")
    assert shapely.distance(below, shapely.LineString([(100, 0), (100, 150)])).min() == pytest.approx(13, abs=0.3)


def test_at_a_slant_it_takes_as_much_divided_by_the_sine():
    """Along its middle at 40 degrees: 26 / sin 40 = 40.4 mm, less what the pieces are grown by to close joints."""
    result = cross.compute(replace(FLAT, angle=40.0, count=2, height=200.0))
    below = shapely.union_all(shapely.buffer(pieces_of(result, "first line"), 1.2, join_style="mitre"))
    middle = shapely.LineString([(0, 100), (200, 100)])
    gap = shapely.difference(middle, below)
    assert max(part.length for part in shapely.get_parts(gap)) == pytest.approx(
        (26 - 2.4) / math.sin(math.radians(40)), abs=1
    )


def test_with_a_shared_line_both_are_cut():
    result = cross.compute(cross.Settings(top="neither: a shared line"))
    assert set(result.layout.pieces["line"].to_numpy()[result.meeting.cut]) == set(cross.NAMES)
    assert result.survey.overlaps == 0


@pytest.mark.parametrize("angle", [20.0, 90.0, 155.0])
@pytest.mark.parametrize("second", cross.LINES)
def test_the_slider_sets_the_angle(angle, second):
    """Measured here by small steps along both lines on either side of where they cross."""
    result = cross.compute(cross.Settings(first="ribbon", second=second, angle=angle))
    ways = []
    for guide in result.guides:
        s = np.linspace(0, guide.length * (1 - 1e-9), 20_000)
        k = int(np.argmin(np.hypot(*(guide.at(s) - result.met.spot).T)))
        ways.append(np.subtract(*guide.at(s[[k + 5, k - 5]])))
    turn = math.degrees(math.atan2(*ways[1][::-1]) - math.atan2(*ways[0][::-1])) % 180
    assert turn == pytest.approx(angle, abs=0.7)


def test_lines_that_do_not_meet_or_cross_too_flat_for_the_slider_are_told():
    apart = cross.Settings(
        first="my own points",
        second="my own points",
        first_points=((0, 20), (200, 20)),
        second_points=((0, 120), (200, 120)),
    )
    assert cross.summary(cross.compute(apart)) == "The lines do not cross."
    flat = cross.compute(replace(apart, second_points=((-100, 0), (300, 60)), count=1))
    told = {row.label: row for row in cross.report(flat)}["They cross at"]
    assert told.value == round(math.degrees(math.atan(60 / 400))) and "as they were drawn" in str(told.verdict)


def test_every_piece_that_is_told_as_cut_is_one_and_lies_at_the_meeting():
    result = cross.compute(cross.Settings())
    for k in result.meeting.cut:
        assert result.layout.pieces["kind"].iloc[k] == "cut"
        other = pieces_of(result, "second line")
        assert shapely.distance(result.layout.shapes[k], other).min() < 2.4
    areas = shapely.area(result.layout.shapes[result.meeting.cut])
    assert result.meeting.kept == pytest.approx(areas.sum() / (100 * len(areas)))  # quarters of 20 mm are 10 by 10


# --- handles ---------------------------------------------------------------------------------------------


def drag(lesson, points, moving=False):
    with lesson.picture.hold_trait_notifications():
        lesson.picture.points, lesson.picture.moving = points, moving


def test_a_dragged_handle_bends_its_line_and_the_slider_follows():
    lesson = Lesson.of(cross)
    points = [list(point) for point in lesson.picture.points]
    drag(lesson, [*points[:2], [points[2][0] + 30, points[2][1]], *points[3:]], moving=True)
    assert lesson.settings.second == "my own points" and lesson.settings.moving and lesson.settings.shift
    drag(lesson, lesson.picture.points)
    s = lesson.settings
    assert not s.moving and s.shift is None and s.first == "ribbon"
    assert s.angle == round(lesson.result.met.angle) == lesson.fields["angle"].value != 60
    assert lesson.picture.points == [list(point) for point in s.second_points], "the line stays under the hand"
    lesson.step(-1)
    assert lesson.settings == cross.Settings()


def test_handles_go_to_the_line_that_is_chosen():
    lesson = Lesson.of(cross)
    lesson.fields["held"].accept("first line")
    assert lesson.picture.points == [list(point) for point in cross.handles(lesson.result)]
    first = cross.compute(cross.Settings()).guides[0]
    line = shapely.linestrings(first.at(np.linspace(0, first.length, 900)))
    assert shapely.distance(shapely.points(lesson.picture.points), line).max() < 0.2


def test_a_motif_is_moved_by_its_middle_and_sized_and_turned_by_its_other_handle():
    lesson = Lesson.of(motif)
    drag(lesson, [[90.0, 70.0], lesson.picture.points[1]])
    assert (lesson.settings.x, lesson.settings.y, lesson.settings.size) == (90.0, 70.0, 110.0)
    assert lesson.picture.points[1] == [145.0, 70.0], "the other handle goes with it"
    drag(lesson, [[90.0, 70.0], [90.0, 110.0]])
    assert (lesson.settings.size, lesson.settings.turned, lesson.settings.x) == (80.0, 90.0, 90.0)


# --- drawings that are kept ------------------------------------------------------------------------------

SHOWN = {
    rows: [
        rows.Settings(),
        rows.Settings(shape="leaf", count=2, corner="fan", outline="half"),
        rows.Settings(shape="arc"),
    ],
    cross: [cross.Settings(first="my own points", second="my own points", angle=70.0, count=1, fraction="half")],
    motif: [motif.Settings(shape=shape, high=60.0, x=90.0, turned=30.0) for shape in motif.SHAPES[:-1]],
}


def press(lesson, button, name):
    lesson.box.value = name
    lesson.buttons[button].click()
    return str(lesson.said)


KEPT = [
    pytest.param(part, one, id=f"{part.__name__[-6:]}-{getattr(one, 'shape', 'both')}")
    for part in PARTS
    for one in SHOWN[part]
]


@pytest.mark.parametrize(("part", "settings"), KEPT)
def test_what_is_kept_by_name_is_opened_as_it_was(tmp_path, part, settings):
    lesson = Lesson.of(part, tmp_path)
    lesson.set(settings)
    before = lesson.result
    assert press(lesson, "save", "first try") == "Saved as drawings/first-try.json."
    lesson.begin_afresh()
    assert "first try is open" in press(lesson, "load", "first try")
    assert len(lesson.result.layout) == len(before.layout)
    assert shapely.equals_exact(lesson.result.layout.shapes, before.layout.shapes, 0.2).all()


def test_a_turned_ready_made_line_is_opened_by_its_points_within_a_quarter_of_a_millimetre(tmp_path):
    kept = cross.sketch(cross.Settings(second="wave", angle=50.0), "two")
    found = cross.compute(cross.opened(cross.Settings(), kept))
    for guide, was in zip(found.guides, kept.guides(), strict=True):
        along = shapely.linestrings(was.at(np.linspace(0, was.length * (1 - 1e-9), 3000)))
        assert shapely.distance(shapely.points(guide.at(np.linspace(0, guide.length, 500))), along).max() < 0.26


def test_a_name_of_another_drawing_costs_nothing_and_a_bad_one_is_refused(tmp_path):
    lesson, other = Lesson.of(cross, tmp_path), Lesson.of(motif, tmp_path)
    press(lesson, "save", "leaf")
    first = (tmp_path / "my_plans/drawings/leaf.json").read_bytes()
    assert "it is kept as drawings/leaf-before.json" in press(other, "save", "leaf")
    assert (tmp_path / "my_plans/drawings/leaf-before.json").read_bytes() == first
    assert press(other, "save", "...") == "Give it a name with letters or digits."
    assert press(other, "load", "twig") == "There is no file called twig.json here. There are: leaf, leaf-before."
    assert press(lesson, "load", "leaf") == "leaf is a motif. Open it on the part 'A motif'."
    assert "does not close on itself" in press(other, "load", "leaf-before")
    (tmp_path / "my_plans/drawings/torn.json").write_bytes(first[:100])
    before = other.settings
    assert "not a whole drawing file" in press(other, "load", "torn") and other.settings == before
    (tmp_path / "my_plans/drawings/plan.json").write_bytes((DATA / "example_plan.json").read_bytes())
    assert "'bands' is missing" in press(other, "load", "plan")


@pytest.mark.parametrize("part", [rows, cross])
def test_a_plan_takes_what_was_kept_as_it_stands(part):
    found = json.loads((DATA / "example_plan.json").read_text(encoding="utf-8"))
    kept = json.loads(part.sketch(part.Settings(), "mine").text())
    found["glass"] = [found["glass"][0] | {"bands": kept["bands"], "width": 200.0, "height": 150.0}]
    layout = work_out(Plan.made(**found)).pieces[0].layout
    wanted = part.compute(part.Settings()).layout
    lines = (layout.pieces["band"] == "rows").sum(), (wanted.pieces["band"] == "rows").sum()
    assert lines[0] == lines[1] > 50


def test_a_motif_needs_one_closed_line():
    open_ = {"face": "pane", "points": [[0.0, 0.0], [40.0, 9.0]], "rows": [{}]}
    with pytest.raises(MosaicError, match="a motif has one line, which closes on itself"):
        Sketch.made(name="x", bands=[open_], middle="piece")
    with pytest.raises(MosaicError, match="seen from the front"):
        Sketch.made(name="x", bands=[open_ | {"behind": True}])


# --- a drawing of one's own --------------------------------------------------------------------------------

LEAF = '<path id="leaf" d="M0 0 A 5 5 0 0 0 8 0 A 5 5 0 0 0 0 0 z"/>'


def take(lesson, text, name="leaf.svg"):
    content = memoryview(text.encode())
    file = {
        "name": name,
        "type": "image/svg+xml",
        "size": len(content),
        "content": content,
        "last_modified": datetime.now(UTC),
    }
    lesson.buttons["take"].value = (file,)
    return str(lesson.said)


def test_an_svg_drawing_becomes_the_motif_at_the_width_that_is_set(tmp_path):
    """A lens of two arcs of radius 5 over a chord of 8 is 8 wide and 4 high: at 110 mm it is 55 high."""
    lesson = Lesson.of(motif, tmp_path)
    said = take(lesson, f'<svg>{LEAF}<path id="stem" d="M4 0 v8"/></svg>')
    assert "leaf of leaf.svg is taken" in said and "Its 1 other line is left out." in said
    assert lesson.settings.shape == motif.OWN_DRAWING
    x0, y0, x1, y1 = lesson.result.edge.bounds
    assert (x1 - x0, y1 - y0) == (pytest.approx(110, abs=0.1), pytest.approx(55, abs=0.2))
    edge = lesson.result.edge
    press(lesson, "save", "lens")
    lesson.begin_afresh()
    press(lesson, "load", "lens")
    assert lesson.settings.shape == motif.OWN_DRAWING
    assert lesson.result.edge.symmetric_difference(edge).area < 1
    take(lesson, f"<svg>{LEAF}</svg>")
    assert take(lesson, f"<svg>{LEAF}</svg>"), "the same file can be taken again"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("<svg><path d='M0 0", "is not a whole SVG file"),
        ("<svg><path d='M0 0 h9 v9'/></svg>", "no line that closes on itself"),
        ("<svg><path d='M0 0 L 9 9 L 9 0 L 0 9 z'/></svg>", "crosses or touches itself"),
        ("plain words", "is not a whole SVG file"),
    ],
)
def test_a_file_that_cannot_be_a_motif_is_refused_in_a_sentence(text, words):
    lesson = Lesson.of(motif)
    before = lesson.settings
    assert words in take(lesson, text) and lesson.settings == before


# --- tasks -----------------------------------------------------------------------------------------------


def test_answers_to_the_tasks_are_what_the_parts_compute():
    cells = json.loads((ROOT / "workbooks" / "02_cut_wedges_on_curves.ipynb").read_text("utf-8"))["cells"]
    tasks = next("".join(cell["source"]) for cell in cells if cell["id"] == "tasks-crossing")
    cut = [len(cross.compute(cross.Settings(angle=angle)).meeting.cut) for angle in (60.0, 90.0, 25.0)]
    assert "At 60 degrees {} pieces are cut, at 90 degrees {}, at 25 degrees {}.".format(*cut) in tasks
    first = cross.compute(cross.Settings(top="the first line"))
    shared = cross.compute(cross.Settings(top="neither: a shared line"))
    assert f"first of the second line, {len(first.meeting.cut)} of them" in tasks
    assert (
        f"{len(shared.meeting.cut)} pieces of both lines are cut, and {len(shared.layout.gaps)} small places" in tasks
    )
    found = [counted(shape="disc", size=size)[0] for size in (90.0, 110.0, 130.0)]
    assert "{}, {} and {} rows".format(*found) in tasks
    hearts = [counted(middle=middle) for middle in motif.MIDDLE]
    assert f"a line of them: {hearts[0][1]} pieces, {hearts[0][2]} places open" in tasks
    assert f"so a line of {hearts[1][1]} is laid" in tasks
    assert f"one row fewer, {hearts[2][1]} pieces, {hearts[2][2]} places open" in tasks
    assert hearts[2][0] == hearts[0][0] - 1


def counted(**changes):
    """Return rows, pieces in the middle and places left open of a motif."""
    result = motif.compute(motif.Settings(**changes))
    pieces = result.layout.pieces[result.layout.pieces["line"] == "motif"]
    rows_ = pieces["band"] == "rows"
    return int(pieces.loc[rows_, "row"].max()), int((~rows_).sum()), len(result.layout.gaps)
