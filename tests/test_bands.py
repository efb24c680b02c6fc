"""A drawn band on a face of a plan: from the plan file to colours, lists and sheets."""

import itertools
import json
import re
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
import shapely.affinity
from pypdf import PdfReader

import planner
from clashes import clashes, holds
from mosaiclib.colour import CannotBe, ConflictGraph, NotFound, StockShort, arrange_pieces, arrangement, solve
from mosaiclib.errors import MosaicError
from mosaiclib.filler import joint_volume
from mosaiclib.glass import Face, FourSided
from mosaiclib.job import Plan, command, cut_list, work, work_out
from mosaiclib.job.colours import allowed_colours
from mosaiclib.job.drawn import BandPart, RowPart
from mosaiclib.job.overview import overview
from mosaiclib.job.plan import PanePart
from mosaiclib.job.sheets import piece_sheets
from mosaiclib.job.work import lay_banded
from mosaiclib.layout import SvgDrawing, Tile, broken, face_of, neighbours, ring, survey, wave
from mosaiclib.layout.rowspec import CORNERS
from mosaiclib.lessons import w06_lines, w06_settings
from mosaiclib.reference import DATA

WAVE = {"name": "wave", "measures": {"length": 200.0, "height": 40.0, "waves": 2}, "x": 150, "y": 100, "turned": 10}
EXAMPLE = DATA / "example_plan.json"


def chosen(pairs, allowed, stock, tiles):
    """Colours of a few pieces that touch in pairs."""
    return list(arrange_pieces(ConflictGraph(len(allowed), pairs), stock, allowed=allowed, tiles=tiles))


@pytest.fixture(scope="module")
def plan():
    return Plan.load(EXAMPLE)


@pytest.fixture(scope="module")
def worked(plan):
    return work_out(plan)


def changed(change):
    """Return the example's file with a change to its panel's band."""
    found = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    found["glass"][0]["bands"][0] |= change
    return found


def inside_guide(vessel):
    """Return what the paper guide inside a vessel's first face shows."""
    face = vessel.glass.faces[0]
    return face_of(vessel.layout, vessel.glass.guide_outline(face), face.name)


def test_the_example_is_what_it_says(plan, worked):
    panel = worked.pieces[0]
    assert (plan.glass[0].width, plan.glass[0].height) == (300, 200)
    rows = panel.layout.pieces[panel.layout.pieces["band"] == "rows"]
    assert rows["row"].nunique() == 3 and set(rows["fraction"]) == {"quarter"}
    assert "invented" in plan.note.lower()


def test_everything_holds_on_the_banded_panel(plan, worked):
    for part, piece in zip(plan.glass, worked.pieces, strict=True):
        assert broken(piece.layout) == []
        assert len(clashes(piece.layout)) == 0
        for colour, only in zip(piece.layout.pieces["colour"], allowed_colours(piece.layout, part), strict=True):
            assert only is None or colour in only


def test_rows_and_field_touch_and_differ(worked):
    layout = worked.pieces[0].layout
    pairs = neighbours(layout)
    band = layout.pieces["band"].to_numpy()
    across = band[pairs[:, 0]] != band[pairs[:, 1]]
    assert across.sum() > 30
    colour = layout.pieces["colour"].to_numpy()
    assert (colour[pairs[:, 0]] != colour[pairs[:, 1]]).all()


def test_amounts_come_from_the_polygons(plan, worked):
    piece = worked.pieces[0]
    backs = piece.layout.areas.sum()
    assert piece.adhesive == pytest.approx(backs * plan.adhesive.bed * (1 + plan.adhesive.waste) / 1000)
    by_hand = (300 * 200 - backs) * (plan.tile.thickness + plan.adhesive.bed) / 1000
    assert piece.joints == pytest.approx(by_hand, rel=1e-6)
    assert joint_volume(piece.layout, plan.adhesive.bed) == pytest.approx(by_hand, rel=1e-6)


def test_four_quarters_are_one_tile(worked):
    counts = worked.colours.set_index("colour")
    pieces = np.concatenate([p.layout.pieces["colour"].to_numpy() for p in worked.pieces])
    fractions = np.concatenate([p.layout.pieces["fraction"].to_numpy() for p in worked.pieces])
    deep = pieces == "deep blue"
    wanted = (fractions[deep] == "quarter").sum() / 4 + (fractions[deep] == "whole").sum()
    assert counts.loc["deep blue", "tiles"] == int(np.ceil(wanted))
    assert counts["placed"].sum() == worked.count


def test_numbers_on_sheets_are_those_of_the_cut_list(worked, tmp_path):
    written = command.write(worked, tmp_path)
    layout = worked.pieces[0].layout
    seen = set()
    for path in written:
        if path.name.startswith("window-panel-template") and path.suffix == ".svg":
            seen |= {int(n) for n in re.findall(r'class="number"[^>]*>(\d+)<', path.read_text(encoding="utf-8"))}
    assert seen == set(cut_list(layout)["number"]) == set(range(1, len(layout) + 1))


def test_numbers_of_a_vessel_read_back_from_its_sheets(on_the_front, tmp_path):
    """Template, dry-lay sheet and inside guide of the face with the band; the PDF's own text."""
    vessel = on_the_front.pieces[1]
    mine = set(cut_list(vessel.layout).query("face == 'front'")["number"])
    guide = set(inside_guide(vessel).pieces.index + 1)
    every = set(cut_list(vessel.layout)["number"])
    outlines = {face.name: vessel.glass.guide_outline(face) for face in vessel.glass.faces}
    guides = [face_of(vessel.layout, outline, name) for name, outline in outlines.items()]
    inside = {label + 1 for guide in guides for label in guide.pieces.index}
    sheets = next(s for s in piece_sheets(on_the_front) if s.piece == "planter")
    for drawings, wanted in ((sheets.template, every), (sheets.dry_lay, every), (sheets.inside, inside)):
        texts = [item for page_ in drawings for item in texts_of(page_)]
        assert {int(text.words) for text in texts if text.name == "number"} == wanted
    command.write(on_the_front, tmp_path)
    words = "\n".join(sheet.extract_text() for sheet in PdfReader(tmp_path / "planter.pdf").pages)
    assert mine <= {int(number) for number in re.findall(r"\d+", words)}
    assert guide < mine and len(guide) > 30


def texts_of(drawing):
    """Yield the texts of a drawing, those inside its windows too."""
    for item in drawing.items:
        if hasattr(item, "items"):
            yield from texts_of(item)
        elif hasattr(item, "words"):
            yield item


def test_small_pieces_bear_numbers_that_can_be_read(worked):
    sizes = [
        text.size
        for sheets in piece_sheets(worked)
        for page_ in sheets.all
        for text in texts_of(page_)
        if text.name == "number"
    ]
    assert min(sizes) >= 1.2 and np.mean(np.array(sizes) >= 1.8) > 0.97


def test_a_band_drawn_from_behind_is_the_mirrored_one():
    face, tile = Face("pane", 0, 0, 200, 100), Tile(20, 4)
    line = [[-4.0, 30.0], [60.0, 60.0], [120.0, 40.0], [204.0, 70.0]]
    rows = [RowPart(), RowPart(fraction="half"), RowPart()]
    front = lay_banded(face, BandPart(face="pane", points=line, rows=rows), tile, 2, (1.7, 2.3))
    flipped = [[200 - x, y] for x, y in line]
    behind = BandPart(face="pane", points=flipped, rows=rows[::-1], behind=True)
    back = lay_banded(face, behind, tile, 2, (1.7, 2.3))
    assert back.areas.sum() == pytest.approx(front.areas.sum(), rel=1e-9)
    assert all(a.equals_exact(b, 1e-6) for a, b in zip(front.shapes, back.shapes, strict=True))


@pytest.fixture(scope="module")
def on_the_front():
    """The example with its band on the front of the planter, worked out."""
    plan = changed({})
    points = [[-4.0, 40.0], [80.0, 80.0], [166.0, 50.0]]
    plan["glass"][1]["bands"] = [plan["glass"][0]["bands"][0] | {"face": "front", "points": points}]
    plan["glass"][0]["bands"] = []
    return work_out(Plan.made(**plan))


def test_the_inside_guide_shows_the_band(on_the_front):
    vessel = on_the_front.pieces[1]
    assert isinstance(vessel.glass, FourSided)
    assert broken(vessel.layout) == [] and len(clashes(vessel.layout)) == 0
    guide = inside_guide(vessel)
    assert (guide.pieces["band"] == "rows").sum() > 30


def test_the_page_keeps_the_band_byte_for_byte(plan):
    settings = w06_settings.settings_of(plan)
    assert w06_settings.plan_of(settings).text() == plan.text() == EXAMPLE.read_text(encoding="utf-8")
    gone, _ = w06_lines.actions(Path())[3].run(settings, "")
    assert w06_settings.plan_of(gone).glass[0].bands == []


def test_one_colour_for_a_row_is_refused_plainly():
    rows = changed({})["glass"][0]["bands"][0]["rows"]
    rows[1]["colours"] = ["sky blue"]
    with pytest.raises(CannotBe, match=r"Row 2 of the band on window panel.*only be sky blue.*second colour"):
        work_out(Plan.made(**changed({"rows": rows})))


def test_a_row_drawn_from_behind_is_named_as_it_is_listed():
    rows = [{"colours": ["sea green"]}, {}, {}]
    with pytest.raises(CannotBe, match="Row 1 of the band"):
        work_out(Plan.made(**changed({"rows": rows, "behind": True})))


@pytest.mark.parametrize("behind", [False, True])
def test_chosen_colours_go_to_the_rows_as_they_were_drawn(behind):
    """Travel runs to the right as drawn, so the first row is the upper one, from behind too."""
    rows = [{"colours": ["blue", "deep blue"]}, {}, {"colours": ["sky blue", "pale blue"]}]
    line = {"points": [[-5.0, 90.0], [150.0, 100.0], [305.0, 95.0]], "rows": rows, "behind": behind}
    layout = work_out(Plan.made(**changed(line))).pieces[0].layout
    banded = (layout.pieces["band"] == "rows").to_numpy()
    height = shapely.get_y(shapely.centroid(layout.shapes))
    mean = {row: height[banded & (layout.pieces["row"] == row).to_numpy()].mean() for row in (1, 2, 3)}
    upper, lower = max(mean, key=mean.get), min(mean, key=mean.get)
    colours = layout.pieces[banded].groupby("row")["colour"].agg(set)
    assert colours[upper] == {"blue", "deep blue"} and colours[lower] == {"sky blue", "pale blue"}


def colours_of(change, stock=None, **other):
    """Work out the example with other rows and stock."""
    plan = changed({"rows": [{"colours": names} for names in change]} | other)
    for colour in plan["tile"]["colours"]:
        colour |= (stock or {}).get(colour["name"], {})
    return work_out(Plan.made(**plan))


BLUES, SKIES = ["blue", "deep blue"], ["sky blue", "pale blue"]
RING = {"points": [[150.0, 30.0], [220.0, 100.0], [150.0, 170.0], [80.0, 100.0]], "closed": True}
FEW = {"in_hand": 3, "more": False}
NONE = {"in_hand": 0, "more": False}


@pytest.mark.parametrize(
    ("rows", "stock", "other", "words"),
    [
        ([BLUES, BLUES], {}, {}, "[Rr]ow 1 .* and row 2 .* side by side, and blue and deep blue"),
        ([BLUES, SKIES, BLUES], {"pale blue": NONE}, {}, r"Row 2 .*only be sky blue \(there is no tile of pale blue\)"),
        ([BLUES, SKIES], {"blue": NONE, "deep blue": NONE}, {}, "no tile in any of the colours chosen for row 1"),
        ([SKIES, BLUES], {"blue": FEW, "deep blue": FEW}, {}, "Row 2 .* takes 8 tiles, and 3 blue and 3 deep blue"),
        ([BLUES] * 4, {}, RING, "Row . .*(odd number|side by side)"),
    ],
    ids=["side by side", "one left", "none left", "too few tiles", "ring"],
)
def test_what_rows_ask_in_vain_is_said_with_their_names(rows, stock, other, words):
    with pytest.raises(CannotBe, match=words):
        colours_of(rows, stock, **other)


def test_colours_of_a_row_are_bought_where_more_can_be():
    """There are tiles enough for all, but none of the row's colours: those are bought, and no more than it takes."""
    empty = {"in_hand": 0, "more": True}
    done = colours_of([BLUES], {"blue": empty, "deep blue": empty, "sea green": {"in_hand": 400}})
    counts = done.colours.set_index("colour")
    rows = done.pieces[0].layout.pieces.query("band == 'rows'")
    assert set(rows["colour"]) == set(BLUES)
    assert counts.loc[BLUES, "to_buy"].between(1, np.ceil(len(rows) / 8) + 1 + counts.loc[BLUES, "spare"]).all()


def test_tiles_short_are_counted_in_tiles():
    with pytest.raises(StockShort, match=r"\d+ pieces, which take \d+ tiles") as told:
        colours_of([BLUES, SKIES, BLUES], dict.fromkeys(["sea green", "leaf green", "pale green", *BLUES, *SKIES], FEW))
    assert told.value.stock == 21 and told.value.short < 366 - 21


def test_a_plan_without_bands_is_arranged_too(plan):
    found = plan.model_dump(mode="json")
    found["glass"][0]["bands"] = []
    assert all(len(clashes(piece.layout)) == 0 for piece in work_out(Plan.made(**found)).pieces)


def test_the_same_seed_gives_the_same_colours_and_another_others(plan, worked):
    colours = lambda done: [piece.layout.pieces["colour"].tolist() for piece in done.pieces]  # noqa: E731
    assert colours(work_out(plan)) == colours(worked)
    other = plan.model_copy(update={"colour": plan.colour.model_copy(update={"seed": 9})})
    assert colours(work_out(other)) != colours(worked)


def test_a_search_that_ends_without_an_answer_says_so(monkeypatch):
    for module in (arrangement, solve):
        monkeypatch.setattr(module, "SEARCH_SIZE", 0)
    all_touch = np.array(list(itertools.combinations(range(9), 2)))
    with pytest.raises(
        NotFound, match=r"9 pieces in 8 colours are too many to try them all\. There may still be a way"
    ):
        chosen(all_touch, [frozenset("a"), *[None] * 8], dict.fromkeys("abcdefgh", 2), np.ones(9))


def panel(width, height, *, rows=None, colours=None, tile=20.0, **band):
    """Return the example's panel in another size, with what else is changed of its rows, colours and band."""
    found = changed(band)
    found["glass"] = found["glass"][:1]
    found["glass"][0] |= {"width": width, "height": height}
    found["glass"][0]["bands"][0]["rows"] = rows or found["glass"][0]["bands"][0]["rows"]
    found["tile"] |= {"side": tile}
    found["tile"]["colours"] = [c for c in found["tile"]["colours"] if not colours or c["name"] in colours]
    return Plan.made(**found)


def test_a_large_panel_with_a_band_is_arranged_in_seconds():
    plan, begun = panel(1000.0, 800.0), time.process_time()
    (piece,) = work_out(plan).pieces
    assert time.process_time() - begun < 15  # under 1 s where it was written; it was 23 s, without an answer
    assert len(piece.layout) > 1700 and len(clashes(piece.layout)) == 0
    allowed = allowed_colours(piece.layout, plan.glass[0])
    assert all(only is None or c in only for c, only in zip(piece.layout.pieces["colour"], allowed, strict=True))
    # no colour is used up long before the others, and the field is no chessboard of two colours
    assert piece.layout.pieces["colour"].value_counts().max() < 0.4 * len(piece.layout)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([{"colours": []}], "pieces was found in 8 starts.*too many to try them all.*There may still be a way"),
        ([{"colours": ["blue"]}], "Row 1 of the band on window panel may only be blue, but its pieces touch"),
        ([{"colours": ["blue", "deep blue"]}] * 2, "row 2 of the band on window panel lie side by side"),
    ],
)
def test_a_large_panel_that_cannot_be_arranged_says_so_in_seconds(rows, words):
    plan, begun = panel(1500.0, 1210.0, rows=rows, colours=("blue", "deep blue", "sea green")), time.process_time()
    with pytest.raises((CannotBe, NotFound), match=words):
        work_out(plan)
    assert time.process_time() - begun < 15


@pytest.mark.parametrize(
    ("width", "height", "tile", "words"),
    [
        (99_000.0, 99_000.0, 3.0, "392,040,000"),
        (12_000.0, 12_000.0, 20.0, "298,116"),  # 546 each way
    ],
)
def test_far_too_many_pieces_are_refused_before_any_is_laid(width, height, tile, words):
    begun = time.process_time()
    with pytest.raises(MosaicError, match=rf"This plan with its drawn band would have ({words}) pieces, over 250,000"):
        work_out(panel(width, height, tile=tile))
    assert time.process_time() - begun < 1


STEEP = {"points": [[-6.0, 20.0], [90.0, 20.0], [110.0, 180.0], [130.0, 180.0], [150.0, 20.0], [306.0, 58.0]]}
FREE = [{"fraction": "quarter"}, {"fraction": "half"}, {"fraction": "quarter"}]


@pytest.mark.parametrize("behind", [False, True])
def test_a_plan_says_what_it_could_not_lay(behind):
    """The line is so steep that rows meet and bend too tightly; drawn from behind, its first row is the last one."""
    worked = work_out(panel(300.0, 200.0, rows=FREE, behind=behind, **STEEP))
    ((one,), layout) = worked.pieces[0].unlaid, worked.pieces[0].layout
    assert one.face == "pane" and len(one.gaps) == len(layout.gaps) > 0
    tight = [span for span in layout.spans if span.reported]
    assert [span for _, span in one.stretches] == tight and tight
    assert [row for row, _ in one.stretches] == [4 - s.row if behind else s.row for s in tight]
    assert one.share_within == pytest.approx(survey(layout).share_within) and one.share_within < 1
    told = overview(worked).set_index("what")
    assert told.loc["window panel: left open", "how_much"].startswith(str(len(one.gaps)))
    assert "%" in told.loc["window panel: joints within limits", "how_much"]
    for row in {row for row, _ in one.stretches}:
        length = round(sum(s.end - s.begin for number, s in one.stretches if number == row))
        assert told.loc[f"window panel: row {row}", "how_much"] == f"{length} mm not as asked"


def test_a_plan_tells_every_rule_that_a_layout_breaks(worked):
    """A panel of which one piece is moved onto the next: what must hold is asked of every plan, and told."""
    assert all(piece.broken == () for piece in worked.pieces)
    panel, rest = worked.pieces[0], worked.pieces[1:]
    shapes = panel.layout.shapes.copy()
    shapes[0] = shapely.affinity.translate(shapes[1], 1.0)
    wrong = work.worked_piece(worked.plan, worked.plan.glass[0], panel.glass, replace(panel.layout, shapes=shapes))
    told = overview(replace(worked, pieces=(wrong, *rest))).set_index("what")
    assert "overlap" in told.loc["window panel: rules broken", "remark"]


def test_tiles_that_may_touch_break_no_rule(plan):
    """With a least joint of 0 the tiles of a grid lie edge to edge, and nothing is wrong with that."""
    found = plan.model_dump(mode="json") | {"joint": {"wanted": 0, "least": 0, "greatest": 0.5, "edge": "equal"}}
    found["glass"] = [found["glass"][0] | {"bands": []}]
    assert work_out(Plan.made(**found)).pieces[0].broken == ()


def test_the_page_says_what_it_could_not_lay():
    labels = [row.label for row in planner.told(panel(300.0, 200.0, rows=FREE, **STEEP))[0]]
    assert {"window panel: left open", "window panel: joints within limits"} <= set(labels)


def test_a_plan_without_bands_has_nothing_left_open(plan):
    found = plan.model_dump(mode="json")
    found["glass"][0]["bands"] = []
    worked = work_out(Plan.made(**found))
    assert all(piece.unlaid == () for piece in worked.pieces)
    assert not any("left open" in what for what in overview(worked)["what"])


def test_wide_bare_margins_of_a_vessel_leave_its_sheets_whole(plan):
    found = plan.model_dump(mode="json")
    found["glass"][1]["rim_margin"] = 100
    assert sum(len(sheets.inside) for sheets in piece_sheets(work_out(Plan.made(**found)))) > 0


def test_choices_agree_with_trying_every_colouring():
    """On 60 small heaps: found where some colouring does, refused where none does."""
    rng, names, said = np.random.default_rng(5), ["a", "b", "c"], {True: 0, False: 0}
    for _ in range(60):
        n = int(rng.integers(2, 7))
        pairs = np.array([p for p in itertools.combinations(range(n), 2) if rng.random() < 0.7]).reshape(-1, 2)
        some = [frozenset(rng.choice(names, int(rng.integers(1, 4)), replace=False).tolist()) for _ in range(n)]
        allowed = [None if rng.random() < 0.4 else one for one in some]
        parts = rng.choice([1, 1 / 2, 1 / 3, 1 / 4], n)
        stock = dict(zip(names, rng.integers(1, 3, 3).tolist(), strict=True))

        def does(colours, pairs=pairs, allowed=allowed, parts=parts, stock=stock):
            apart = all(colours[i] != colours[j] for i, j in pairs)
            chosen = all(only is None or one in only for one, only in zip(colours, allowed, strict=True))
            used = {name: sum(p for p, c in zip(parts, colours, strict=True) if c == name) for name in stock}
            return apart and chosen and all(used[name] <= stock[name] + 1e-9 for name in stock)

        possible = any(map(does, itertools.product(names, repeat=n)))
        said[possible] += 1
        if possible:
            assert does(chosen(pairs, allowed, stock, parts))
        else:
            with pytest.raises((CannotBe, StockShort), match=r"[a-z]\.$"):
                chosen(pairs, allowed, stock, parts)
    assert min(said.values()) > 5


def test_arranging_with_choices_against_trying_everything_out():
    """A path of four pieces, two colours at the ends: of 3^4 colourings some do, or none."""
    path = np.array([[0, 1], [1, 2], [2, 3]])
    ends = frozenset({"a"})
    found = chosen(path, [ends, None, None, ends], {"a": 2, "b": 1, "c": 1}, np.ones(4))
    assert found[0] == found[3] == "a" and {found[1], found[2]} == {"b", "c"}
    with pytest.raises(CannotBe):
        chosen(path, [ends, None, None, ends], {"a": 2, "b": 2}, np.ones(4))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"face": "roof"}, "no face"),
        ({"face": "front"}, "no face"),
        ({"points": [[0.0, 1.0]]}, "points"),
        ({"points": [[0.0, 1.0], [1.0, 2.0, 3.0]]}, "points"),
        ({"points": [[0.0, 1.0], [0.0, 1.0]]}, "same|twice|repeat"),
        ({"points": [["0", 1.0], [5.0, 1.0]]}, "number"),
        ({"rows": []}, "rows"),
        ({"rows": [{"fraction": "fifth"}]}, "fraction"),
        ({"rows": [{"colours": ["mauve"]}]}, "mauve"),
        ({"corners": [99]}, "corner"),
        ({"points": []}, "points, a line, a path"),
        ({"line": WAVE}, "points, a line, a path"),
        ({"points": [], "line": WAVE, "path": "M0 0 H 9"}, "points, a line, a path"),
        ({"points": [], "line": WAVE, "closed": True}, "belong to points"),
        ({"points": [], "line": WAVE | {"name": "zigzag"}}, "name"),
        ({"points": [], "line": WAVE | {"measures": {"length": 200.0, "height": 40.0}}}, "'waves' is missing"),
        ({"points": [], "line": WAVE | {"measures": WAVE["measures"] | {"x": 3.0}}}, "'x' is not one of them"),
        ({"points": [], "line": WAVE | {"measures": WAVE["measures"] | {"waves": 2.5}}}, "whole number"),
        ({"points": [], "line": WAVE | {"measures": WAVE["measures"] | {"waves": "2"}}}, "number"),
        ({"points": [], "path": "M 0 0 L NaN 3"}, "cannot be read"),
        ({"points": [], "path": "M 0 0 L 30 3 M 0 9 L 30 9"}, "one line; this one has 2"),
        ({"points": [], "path": "M 0 0 " + "l 1 1 1 -1" * 9999}, "at most|curves"),
        ({"points": [], "path": 3}, "text"),
        ({"width": 3}, "width"),
        ({"corner": "round"}, "mitre"),
        ({"points": [[900.0, 900.0], [950.0, 900.0]]}, "No piece"),
    ],
)
def test_bad_bands_are_told(change, words):
    with pytest.raises(MosaicError, match=words):
        work_out(Plan.made(**changed(change)))


LEAF = '<svg><path id="leaf" d="M0 0 Q 40 -30 80 0 Q 40 30 0 0 z"/></svg>'


@pytest.mark.parametrize(
    ("change", "wanted"),
    [
        ({"line": WAVE}, wave(200, 40, 2, x=150, y=100, turned=10)),
        ({"line": {"name": "ring", "measures": {"radius": 60.0}, "x": 150.0, "y": 100.0}}, ring(60, x=150, y=100)),
        (
            {"path": SvgDrawing.of_text(LEAF, length=160, x=150, y=100).data()},
            SvgDrawing.of_text(LEAF, length=160, x=150, y=100).guide(),
        ),
    ],
)
@pytest.mark.parametrize("behind", [False, True])
def test_a_band_along_a_ready_made_line_or_a_drawing(change, wanted, behind, tmp_path):
    record = changed(change | {"behind": behind})
    record["glass"] = record["glass"][:1]
    del record["glass"][0]["bands"][0]["points"]
    record["glass"][0]["bands"][0]["rows"] = [{"fraction": "quarter"}] * 2
    plan = Plan.made(**record)
    saved = plan.save(tmp_path / "line.json").read_bytes()
    again = Plan.load(tmp_path / "line.json")
    assert again == plan and again.text().encode() == saved and b'"points"' not in saved
    face = Face("pane", 0, 0, 300, 200)
    found = again.glass[0].bands[0].guide(face)
    points = wanted.points * [-1, 1] + np.array([300, 0]) if behind else wanted.points
    assert found.points == pytest.approx(points, abs=2e-4) and found.closed == wanted.closed
    worked = work_out(again)
    assert (worked.pieces[0].layout.pieces["band"] == "rows").sum() > 20 and not broken(worked.pieces[0].layout)
    assert w06_settings.plan_of(w06_settings.settings_of(plan)) == plan


def test_a_plan_with_points_is_saved_as_before(plan):
    assert '"line"' not in plan.text() and '"path"' not in plan.text() and '"points"' in plan.text()


@pytest.mark.parametrize("meet", ["over", "shared"])
def test_several_bands_on_a_face(meet):
    """A second band in colours of its own, across the first: each piece of each keeps to its own row's colours."""
    plan = changed({})
    colours = [one["name"] for one in plan["tile"]["colours"]][:3]
    plan["glass"][0]["bands"][0]["rows"][0]["colours"] = (
        colours  # three: what is cut in two meets its neighbour as well
    )
    rows = [{"fraction": "half", "colours": colours}, {"fraction": "quarter"}]
    across = {"face": "pane", "points": [[60, 10], [240, 190]], "rows": rows}
    plan["glass"][0] |= {"bands": [*plan["glass"][0]["bands"], across], "meet": meet}
    made = Plan.made(**plan)
    assert Plan.model_validate_json(made.text()) == made
    piece = work_out(made).pieces[0]
    table = piece.layout.pieces
    assert set(table["line"]) == {"", "band 1", "band 2"} and not piece.broken and len(piece.unlaid) == 1
    own = (table["line"] == "band 2") & (table["row"] == 1)
    assert own.sum() > 5 and set(table.loc[own, "colour"]) <= set(colours)
    assert not len(clashes(piece.layout))
    assert len(cut_list(piece.layout)) > 1


def test_a_face_carries_so_many_bands():
    plan = changed({})
    plan["glass"][0] = plan["glass"][0] | {"bands": plan["glass"][0]["bands"] * 12}
    Plan.made(**plan)
    plan["glass"][0]["bands"] *= 2
    with pytest.raises(MosaicError, match="12"):
        Plan.made(**plan)


def test_the_page_keeps_several_bands_pieces_and_colours(plan):
    """Whichever piece and band stand in the boxes, the whole plan comes back; and a change reaches that one only."""
    found = plan.model_dump(mode="json")
    ring = {"name": "ring", "measures": {"radius": 40.0}, "x": 80.0, "y": 60.0, "turned": 0.0}
    own = found["glass"][0]["bands"][0]
    found["glass"][0]["bands"] = [own, own | {"points": [], "line": ring}]
    found["glass"].append(found["glass"][0] | {"name": "second"})
    found["tile"]["colours"] += [{"name": "amber"}, {"name": "rose"}]
    made = Plan.made(**found)
    for piece in (part.name for part in made.glass):
        for line in ("band 1", "band 2", "nothing"):
            assert w06_settings.plan_of(w06_settings.settings_of(made, piece, line)) == made
    changed_one = w06_settings.plan_of(replace(w06_settings.settings_of(made, "second", "band 2"), m_radius=30.0))
    wanted = made.model_dump(mode="json")
    wanted["glass"][2]["bands"][1]["line"]["measures"]["radius"] = 30.0
    assert changed_one == Plan.made(**wanted)


def test_an_outline_row_is_laid_in_the_background_s_colours_and_named(plan):
    """Old files know no outline row; with one the rows keep their names and colours, also drawn from behind."""
    found = plan.model_dump(mode="json")
    band = found["glass"][0]["bands"][0]
    del band["outline"]
    assert Plan.made(**found) == plan
    for behind in (False, True):
        part = BandPart.model_validate(band | {"outline": "half", "behind": behind})
        count = len(part.rows)
        assert [part.called(k) for k in (1, count + 2)] == ["the outline row"] * 2
        assert part.called(2) == f"row {count if behind else 1}" and part.listed(1) == part.listed(count + 2) == 0
        face = Face("pane", 0, 0, found["glass"][0]["width"], found["glass"][0]["height"])
        laid = lay_banded(face, part, plan.tile.tile, 2, (1.7, 2.3))
        rows = laid.pieces[laid.pieces["band"] == "rows"]
        assert set(rows.loc[rows["row"].isin((1, count + 2)), "fraction"]) == {"half"}
        allowed = allowed_colours(laid, PanePart(kind="pane", name="pane", width=300.0, height=200.0, bands=[part]))
        edge = rows.index[rows["row"].isin((1, count + 2))]
        assert all(allowed[i] is None for i in edge)
        assert broken(laid) == []


@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize("behind", [False, True])
def test_a_band_turns_its_corners_as_the_plan_says(plan, corner, behind, tmp_path):
    """Old files know no corner style and are mitred; the key is written only where it says something else."""
    found = plan.model_dump(mode="json")
    band = found["glass"][0]["bands"][0]
    assert "corner" not in band and plan.glass[0].bands[0].corner == "mitre"
    square = [[60.0, 60.0], [60.0, 140.0], [160.0, 140.0]]
    band |= {"points": square, "corners": [1], "rows": [{}] * 3, "corner": corner, "behind": behind}
    made = Plan.made(**found)
    saved = made.save(tmp_path / "corner.json").read_bytes()
    again = Plan.load(tmp_path / "corner.json")
    assert (
        again == made
        and again.text().encode() == saved
        and (b'"corner": "' + corner.encode() in saved) == (corner != "mitre")
    )
    part = again.glass[0].bands[0]
    face = Face("pane", 0, 0, found["glass"][0]["width"], found["glass"][0]["height"])
    laid = lay_banded(face, part, plan.tile.tile, 2, (1.7, 2.3))
    why = " ".join(map(str, laid.pieces.loc[laid.pieces["band"] == "rows", "why"]))
    words = {"mitre": "on the bisector", "square": "square to both sides", "fan": "round the outside of the corner"}
    assert [style for style, said in words.items() if said in why][-1] == corner and broken(laid) == []
    assert w06_settings.plan_of(w06_settings.settings_of(again)).glass[0].bands[0].corner == corner


def test_an_edge_rule_that_cannot_hold_round_a_band_is_told(plan):
    found = plan.model_dump(mode="json")
    told = [
        [str(note) for note in work_out(Plan.made(**found | {"joint": found["joint"] | {"edge": rule}})).notes]
        for rule in ("equal", "cut")
    ]
    assert any("the field runs to the edge" in note for note in told[0])
    assert not any("runs to the edge" in note for note in told[1])


HEART = {"name": "heart", "measures": {"width": 90.0, "height": 85.0}, "x": 200.0, "y": 110.0}
MOTIF = {"face": "pane", "line": HEART, "fraction": "quarter"}


def with_motifs(*motifs, **change):
    """Return the example's panel with motifs."""
    found = changed(change)
    found["glass"] = [found["glass"][0] | {"motifs": list(motifs)}]
    return found


def test_motifs_of_a_plan_are_laid_coloured_and_listed(tmp_path):
    """A heart over the band with a row round it, a triangle beneath it: to colours, cut list, survey and sheets."""
    names = [one["name"] for one in changed({})["tile"]["colours"]]
    heart = MOTIF | {"colours": names[:3], "outline": "half", "outline_colours": names[3:6]}
    below = {"face": "pane", "points": [[20.0, 20.0], [90.0, 15.0], [70.0, 120.0]], "corners": [0, 1, 2], "over": 0}
    plan = Plan.made(**with_motifs(heart, below))
    saved = plan.save(tmp_path / "motifs.json").read_bytes()
    assert Plan.load(tmp_path / "motifs.json") == plan and plan.text().encode() == saved
    worked = work_out(plan)
    layout = worked.pieces[0].layout
    assert worked.pieces[0].broken == () and len(clashes(layout)) == 0
    holds(layout, worked.pieces[0].glass.faces[0].outline)
    assert survey(layout).overlaps == 0
    table = layout.pieces
    assert set(table["line"]) == {"", "band 1", "motif 1", "motif 2"}
    mine = table[table["line"] == "motif 1"]
    outline = (mine["band"] == "rows") & (mine["row"] == 1)
    assert set(mine.loc[outline, "colour"]) <= set(names[3:6]) and set(mine.loc[~outline, "colour"]) <= set(names[:3])
    assert set(mine.loc[outline, "fraction"]) == {"half"} and set(mine["band"]) == {"rows", "middle"}
    whole = shapely.union_all(layout.shapes[(table["line"] == "motif 1").to_numpy()]).buffer(2).area
    assert whole > 90 * 85 * 0.7  # it lies on top; the triangle beneath the band is cut by it
    listed = cut_list(layout)
    assert (
        listed["line"].tolist() == table["line"].tolist() and (listed.loc[listed["band"] != "field", "place"] > 0).all()
    )
    written = command.write(worked, tmp_path / "out")
    assert any(path.name == "cut_list.csv" for path in written)
    face = next(
        words
        for what, words in overview(worked)[["what", "how_much"]].itertuples(index=False)
        if what == "window panel"
    )
    counts = table["band"].value_counts()
    assert face == (
        f"{counts['rows']} pieces in rows, {counts['middle']} in the middle of motifs, {counts['field']} in the field"
    )


def test_what_lies_beneath_a_motif_is_as_the_plan_says():
    """Over no band it is cut by all; over all it is whole, which is as the plan has it where nothing is said."""
    area = {}
    for over in (None, 0, 1):
        layout = work_out(Plan.made(**with_motifs(MOTIF | ({} if over is None else {"over": over})))).pieces[0].layout
        area[over] = layout.areas[(layout.pieces["line"] == "motif 1").to_numpy()].sum()
    assert area[None] == pytest.approx(area[1]) and area[0] < 0.9 * area[1]


def test_a_motif_from_behind_is_the_mirrored_one():
    leaf = {"name": "leaf", "measures": {"length": 120.0, "width": 60.0}, "x": 90.0, "y": 100.0, "turned": 30.0}
    front, behind = (
        work_out(Plan.made(**with_motifs(one) | {"unit": "mm"})).pieces[0].layout
        for one in (
            MOTIF | {"line": leaf},
            MOTIF | {"line": leaf | {"x": 210.0, "turned": 150.0}, "behind": True},
        )
    )
    mine = [shapely.union_all(one.shapes[(one.pieces["line"] == "motif 1").to_numpy()]) for one in (front, behind)]
    assert mine[0].symmetric_difference(mine[1]).area < 0.12 * mine[0].area  # its joints may begin elsewhere


@pytest.mark.parametrize(
    ("motif", "words"),
    [
        (MOTIF | {"face": "roof"}, "no face"),
        (MOTIF | {"line": None}, "a motif needs one of these"),
        (MOTIF | {"line": {"name": "straight", "measures": {"length": 90.0}}}, "closes on itself"),
        ({"face": "pane", "points": [[0.0, 0.0], [9.0, 9.0]]}, "points of a motif must be at least 3"),
        ({"face": "pane", "points": [[0.0, 0.0], [90.0, 90.0], [90.0, 0.0], [0.0, 90.0]]}, "crosses or touches itself"),
        ({"face": "pane", "path": "M 0 0 H 90"}, "closes on itself"),
        (MOTIF | {"middle": "hole"}, "middle"),
        (MOTIF | {"outline": "fifth"}, "outline"),
        (MOTIF | {"colours": ["mauve"]}, "motif colour 'mauve'"),
        (MOTIF | {"closed": True}, "closed"),
        (MOTIF | {"over": 13}, "over"),
        (MOTIF | {"line": HEART | {"measures": {"width": 2.0, "height": 2.0}}}, "No piece can be laid in this motif"),
        (MOTIF | {"line": HEART | {"x": 5000.0}}, "otif 1"),
    ],
)
def test_bad_motifs_are_told(motif, words):
    with pytest.raises(MosaicError, match=words):
        work_out(Plan.made(**with_motifs(motif)))


def test_the_page_keeps_motifs_and_changes_the_one_in_the_boxes():
    plan = Plan.made(**with_motifs(MOTIF, MOTIF | {"line": HEART | {"x": 80.0}}))
    settings = w06_settings.settings_of(plan, line="motif 2")
    assert w06_settings.plan_of(settings).text() == plan.text()
    lower = w06_settings.plan_of(replace(settings, m_y=settings.m_y - 5, motif_middle="fan")).glass[0].motifs
    assert lower[0] == plan.glass[0].motifs[0] and (lower[1].line.y, lower[1].middle) == (settings.m_y - 5, "fan")
    away = replace(settings, glass="a four-sided vessel")
    assert "left out" in w06_settings.left_out(away) and w06_settings.plan_of(away).glass[0].motifs == []
    more, said = w06_lines.actions(Path())[1].run(settings, "")
    assert said.startswith("Motif 3 is new") and len(w06_settings.plan_of(more).glass[0].motifs) == 3
