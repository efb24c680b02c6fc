"""The colours of a plan: backgrounds, blends and shares asked of it, pieces changed by hand, another arrangement and back."""

import numpy as np
import pytest

from clashes import clashes
from mosaiclib.colour import CannotBe, worst_off
from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan, work_out
from mosaiclib.job.colours import Wanted, allowed_colours
from mosaiclib.reference import DATA


def plan(change=lambda found: None):
    found = Plan.load(DATA / "example_plan.json").model_dump(mode="json")
    change(found)
    return Plan.made(**found)


def names(worked):
    return np.concatenate([piece.layout.pieces["colour"].to_numpy(dtype=object) for piece in worked.pieces])


def assert_good(worked):
    for piece in worked.pieces:
        assert len(clashes(piece.layout)) == 0


def told(worked):
    return " ".join(str(note) for note in worked.notes)


def test_an_older_plan_comes_back_byte_for_byte():
    file = DATA / "example_plan.json"
    assert Plan.load(file).text() == file.read_text(encoding="utf-8")


class TestBackground:
    def test_its_colours_alone_lie_behind_the_bands(self):
        asked = ["pale green", "Leaf Green", "sea green"]
        worked = work_out(plan(lambda found: found["glass"][1].update(background={"colours": asked})))
        assert set(worked.pieces[1].layout.pieces["colour"]) == {"pale green", "leaf green", "sea green"}
        assert_good(worked)

    @pytest.mark.parametrize("way", ["up", "across"])
    def test_a_gradient_over_the_faces_of_a_vessel(self, way):
        asked = {"colours": ["deep blue", "blue", "sky blue", "pale blue"], "blend": "gradient", "way": way}
        worked = work_out(plan(lambda found: found["glass"][1].update(background=asked)))
        layout = worked.pieces[1].layout
        colours, y = layout.pieces["colour"].to_numpy(), np.array([shape.centroid.y for shape in layout.shapes])
        if way == "up":
            assert y[colours == "deep blue"].mean() < y[colours == "sky blue"].mean() < y[colours == "pale blue"].mean()
        (run,) = Wanted.of(worked.plan, [piece.layout for piece in worked.pieces]).runs
        assert worst_off(run, names(worked)[run.pieces]) < 0.1
        assert "the background of planter: gradient, as asked" in told(worked).lower()
        assert_good(worked)

    def test_two_colours_make_no_gradient(self):
        asked = {"colours": ["blue", "sky blue"], "blend": "gradient"}
        with pytest.raises(MosaicError, match="two can only alternate"):
            plan(lambda found: found["glass"][1].update(background=asked))

    def test_a_colour_that_is_not_in_the_list(self):
        with pytest.raises(MosaicError, match="the background colour 'ruby' is not in the list"):
            plan(lambda found: found["glass"][1].update(background={"colours": ["ruby"]}))


@pytest.mark.parametrize("blend", ["even", "gradient"])
def test_a_row_of_shades(blend):
    def asked(found):
        row = found["glass"][0]["bands"][0]["rows"][0]
        row |= {"colours": ["deep blue", "blue", "sky blue", "pale blue"], "blend": blend}
        found["glass"][0]["bands"][0]["rows"][1]["colours"] = []

    worked = work_out(plan(asked))
    assert_good(worked)
    (run,) = Wanted.of(worked.plan, [piece.layout for piece in worked.pieces]).runs
    assert worst_off(run, names(worked)[run.pieces]) < 0.12
    assert set(names(worked)[run.pieces]) == {"deep blue", "blue", "sky blue", "pale blue"}


def test_a_share_is_met_within_one_piece():
    worked = work_out(plan(lambda found: found["tile"]["colours"][4].update(share=0.3)))
    count = (names(worked) == "blue").sum()
    assert abs(count - 0.3 * worked.count) <= 1
    assert_good(worked)


@pytest.mark.parametrize(("shares", "words"), [([0.7, 0.6], "add up to 130%"), ([0.1] * 7, "add up to 70%")])
def test_shares_that_do_not_add_up(shares, words):
    def asked(found):
        for colour, share in zip(found["tile"]["colours"], shares, strict=False):
            colour["share"] = share

    with pytest.raises(MosaicError, match=words):
        plan(asked)


class TestByHand:
    def test_the_plan_keeps_what_was_changed_and_gives_it_again(self, tmp_path):
        first = work_out(plan())
        field = np.flatnonzero((first.pieces[0].layout.pieces["band"] == "field").to_numpy())
        worked = first
        for piece in field[[3, 20, 41]]:
            worked = worked.pinned("window panel", int(piece) + 1, "Pale Green")
            assert names(worked)[piece] == "pale green"
            assert_good(worked)
        again = work_out(Plan.load(worked.plan.save(tmp_path / "mine.json")))
        assert (names(again) == names(worked)).all()
        assert again.count == worked.colours["placed"].sum()
        back = worked.released("window panel", int(field[3]) + 1)
        assert len(back.plan.colour.pins) == 2 and (names(back) == names(work_out(back.plan))).all()

    def test_two_that_touch_and_are_alike_are_named(self):
        worked = work_out(plan())
        layout = worked.pieces[1].layout
        wanted = Wanted.of(worked.plan, [piece.layout for piece in worked.pieces])
        begin = int(wanted.begins[1])
        a, b = next((a - begin, b - begin) for a, b in wanted.graph.pairs.tolist() if a >= begin)
        assert len(layout) > b
        one = worked.pinned("planter", a + 1, "sky blue")
        with pytest.raises(CannotBe, match=f"Piece {a + 1} of planter and piece {b + 1} of planter touch"):
            one.pinned("planter", b + 1, "sky blue")

    def test_places_without_a_piece_are_told(self):
        pin = {"glass": "window panel", "x": 9000.0, "y": 5.0, "colour": "blue"}
        worked = work_out(plan(lambda found: found["colour"].update(pins=[pin])))
        assert "1 of the places that were coloured by hand hold no piece any more" in told(worked)

    @pytest.mark.parametrize("piece", [0, 100_000, 2.5, "x"])
    def test_pieces_that_are_none(self, piece):
        with pytest.raises(MosaicError, match="number of the piece"):
            work_out(plan()).pinned("window panel", piece, "blue")

    def test_glass_and_colours_that_are_none(self):
        worked = work_out(plan())
        with pytest.raises(MosaicError, match="piece of glass"):
            worked.pinned("vase", 1, "blue")
        with pytest.raises(MosaicError, match="'ruby' is not in the list"):
            worked.pinned("planter", 1, "ruby")

    def test_a_pin_goes_over_the_colours_of_its_row(self):
        worked = work_out(plan())
        allowed = allowed_colours(worked.pieces[0].layout, worked.plan.glass[0])
        piece = next(k for k, only in enumerate(allowed) if only and "pale green" not in only)
        try:
            changed = worked.pinned("window panel", piece + 1, "pale green")
        except CannotBe as refused:
            assert f"Piece {piece + 1} of window panel cannot be pale green" in str(refused)
        else:
            assert names(changed)[piece] == "pale green"
            assert_good(changed)


def test_another_arrangement_and_back():
    first = work_out(plan())
    other = first.arranged(first.plan.colour.seed + 1)
    assert (names(other) != names(first)).any()
    assert (names(other.arranged(first.plan.colour.seed)) == names(first)).all()
    assert other.plan.colour.seed == first.plan.colour.seed + 1


def test_all_rows_that_cannot_be_are_told_at_once():
    """Three rings of one colour each: all three are told."""

    def asked(found):
        for row in found["glass"][0]["bands"][0]["rows"]:
            row["colours"] = ["blue"]

    with pytest.raises(CannotBe) as refusal:
        work_out(plan(asked))
    assert all(f"ow {k} of the band" in str(refusal.value) for k in (1, 2, 3))
