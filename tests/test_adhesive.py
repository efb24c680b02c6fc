"""Adhesive: choosing, colours, coverage, cure and holding; published values stand in tests/published."""

import dataclasses

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.adhesive import (
    STEPS,
    Climate,
    bed_volume,
    choose,
    cleared,
    coverage_wanted,
    cure_depth,
    cured_share,
    difference,
    families,
    family,
    hold,
    hours_to_cure,
    light_minutes,
    lightness,
    passed_by,
    pot_minutes,
    press,
    progress,
    reach,
    reflectance,
    seen,
    share_for,
    squeeze_out,
    tile_stress,
    tubes,
    vapour_pressure,
    waits,
)
from mosaiclib.adhesive.choose import CLARITIES, PLACES, POSITIONS, VERDICTS, WORDS, Cure, Family
from mosaiclib.adhesive.cure import LAWS
from mosaiclib.adhesive.optics import (
    BACKINGS,
)
from mosaiclib.drawing import GLASS_COLOURS
from mosaiclib.errors import MosaicError
from mosaiclib.layout import Tile, lay_grid

SQUARE = shapely.box(0, 0, 20, 20)
BOW_TIE = shapely.Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])


def verdicts(*case, **more):
    table = choose(*case, **more)
    return dict(zip(table["family"], table["verdict"], strict=True))


# --- choosing ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("clarity", CLARITIES)
@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("position", POSITIONS)
def test_every_family_gets_a_verdict_with_reasons_for_and_against(clarity, place, position):
    for seen_back in (False, True):
        table = choose(clarity, place, position=position, back_seen=seen_back)
        assert sorted(table["family"]) == sorted(families()) and set(table["verdict"]) <= set(VERDICTS)
        order = [VERDICTS.index(one) for one in table["verdict"]]
        assert order == sorted(order)
        for verdict, reasons in zip(table["verdict"], table["reasons"], strict=True):
            assert "For: " in reasons and "Against: " in reasons and reasons.endswith(".")
            assert reasons.startswith("For: " if verdict == "good" else "Against: ")


SLOW = ["white polyvinyl acetate", "clear craft glue"]


@pytest.mark.parametrize("place", PLACES)
def test_what_dries_takes_months_between_two_sheets_of_glass(place):
    table = choose("opaque", place).set_index("family")
    assert sorted(table.index[table["slow"]]) == sorted(SLOW)
    assert table.loc[SLOW, "reasons"].str.contains("weeks to months").all()
    assert not choose("opaque", place, base="terracotta")["slow"].any()


def test_white_glue_is_out_where_it_is_wet_and_wants_care_in_the_dry():
    """Common practice, no source: it dries clear, within weeks to months between glass, and softens in water."""
    for porous, verdict in ((False, "only if you can wait months"), (True, "works with care")):
        assert verdicts("opaque", "dry shelf", base="terracotta" if porous else "glass")[SLOW[0]] == verdict
        assert verdicts("opaque", "bathroom", base="terracotta" if porous else "glass")[SLOW[0]] == "ruled out"


def test_dark_cement_spoils_transparent_glass():
    """Common practice, no source."""
    grey = "grey polymer-modified cement adhesive"
    assert verdicts("transparent", "dry shelf")[grey] == verdicts("translucent", "kitchen")[grey] == "ruled out"
    assert verdicts("opaque", "dry shelf", base="terracotta")[grey] == "good"


@pytest.mark.parametrize("use", ["food", "candle"])
def test_food_and_candles_are_refused_whatever_the_glue(use):
    table = choose("opaque", "kitchen", **{use: True})
    assert set(table["verdict"]) == {"ruled out"}
    assert table["reasons"].str.contains("food or drink" if use == "food" else "candle heat").all()


def test_a_back_that_is_seen_wants_a_clear_bed():
    hidden = {name for name in families() if family(name).tone != "clear"}
    out = {
        name for name, verdict in verdicts("transparent", "dry shelf", back_seen=True).items() if verdict == "ruled out"
    }
    assert hidden <= out and "neutral-cure silicone" not in out


def test_runny_ones_need_care_on_an_upright_face():
    flat, upright = (choose("opaque", "dry shelf", position=one).set_index("family") for one in ("flat", "upright"))
    assert flat.loc["two-part clear epoxy", "verdict"] == "good"
    assert upright.loc["two-part clear epoxy", "verdict"] == "works with care"
    assert upright.loc["neutral-cure silicone", "verdict"] == "good"


@pytest.mark.parametrize(
    ("case", "words"),
    [
        (("cloudy", "kitchen"), "opaque, translucent, transparent"),
        (("opaque", "the moon"), "dry shelf"),
    ],
)
def test_unknown_answers_are_told(case, words):
    with pytest.raises(MosaicError, match=words):
        choose(*case)


def test_a_family_that_does_not_exist_names_those_that_do():
    with pytest.raises(MosaicError, match="neutral-cure silicone, acetoxy silicone"):
        family("hot glue")


def test_every_property_has_its_evidence():
    for name in families():
        one = family(name)
        assert len(one.records) in (13, 14) and all(record.evidence for record in one.records.values())
        assert one.word("cautions") and one.word("for") and one.word("against")


@pytest.mark.parametrize("prop", WORDS)
def test_a_word_that_the_table_misspells_is_refused(prop):
    one = family("neutral-cure silicone")
    records = dict(one.records) | {prop: dataclasses.replace(one.records[prop], note="air moistrue")}
    with pytest.raises(
        MosaicError, match=f"word for '{prop}' of new .table of adhesives. 'air moistrue'.*choose one of: "
    ):
        Family("new", records)


def test_every_way_of_curing_has_its_law():
    assert set(LAWS) == set(Cure) == {family(name).cures_by for name in families()}


# --- colour --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(set(GLASS_COLOURS) - {"milk white"}))
def test_palette_tones_come_back_over_white(name):
    """The palette says what the glass looks like at 4 mm over white: within a little of the face's own reflection."""
    over = seen(passed_by(GLASS_COLOURS[name].fill), 4.0, "white bed")
    assert abs(over.lab[0] - lightness(GLASS_COLOURS[name].fill)) < 8


@pytest.mark.parametrize("name", ["amber", "sea green", "sky blue", "deep blue", "rose"])
@pytest.mark.parametrize("thickness", [2.0, 4.0, 8.0])
def test_grey_is_darker_than_white_and_thicker_is_darker(name, thickness):
    passed = passed_by(GLASS_COLOURS[name].fill)
    white, grey = (seen(passed, thickness, bed) for bed in ("white bed", "grey bed"))
    assert (grey.light <= white.light).all() and difference(white.lab, grey.lab) > 5
    assert (seen(passed, thickness + 1, "white bed").light <= white.light).all()


def test_nothing_gives_back_more_light_than_it_gets():
    for tone in ("#ffffff", "#d9a350", "#101010"):
        for backing in BACKINGS:
            for lamp in ("front", "behind"):
                found = seen(passed_by(tone), 4.0, backing, light=lamp, room=1.0).light
                assert (found >= 0).all() and (found <= 1.0).all(), (tone, backing, lamp)


def test_opaque_glass_hides_its_bed_and_translucent_half():
    passed = passed_by("#d9a350")
    far = {}
    for clarity in CLARITIES:
        white, grey = (seen(passed, 4, bed, clarity=clarity) for bed in ("white bed", "grey bed"))
        far[clarity] = difference(white.lab, grey.lab)
    assert far["opaque"] == pytest.approx(0) and 0 < far["translucent"] < far["transparent"]


def test_an_air_film_costs_light_from_behind():
    """First principles: its two faces let through (1 - R)/(1 + R), R of 1.52 against air."""
    passed = passed_by("#d9a350")
    clear, air = (seen(passed, 4, bed, light="behind").light for bed in ("clear bed", "air alone"))
    r = (0.52 / 2.52) ** 2
    assert air / clear == pytest.approx(np.full(3, (1 - r) / (1 + r)), rel=1e-12)


@pytest.mark.parametrize(
    "call",
    [
        lambda: reflectance(0.5, 1.5),
        lambda: seen([0.5, 0.5], 4, "white bed"),
        lambda: seen([0.5, 0.5, 2], 4, "white bed"),
        lambda: seen([0.5] * 3, -1, "white bed"),
        lambda: seen([0.5] * 3, 4, "tar"),
        lambda: difference((1, 2), (1, 2, 3)),
        lambda: lightness("bluish"),
    ],
    ids=[f"optics {i}" for i in range(7)],
)
def test_bad_optics_are_told(call):
    with pytest.raises(MosaicError, match=r"\.$"):
        call()


# --- coverage ------------------------------------------------------------------------------------------


@given(st.floats(0, 2), st.floats(0.2, 2), st.floats(0, 1))
@settings(max_examples=40, deadline=None)
def test_what_is_pressed_goes_somewhere(part, bed, ridge):
    pieces = np.array([SQUARE, shapely.Polygon([(0, 0), (20, 0), (0, 12)]), shapely.box(0, 0, 5, 20)])
    dab = part * 300
    done = press(pieces, dab, bed, ridge=ridge)
    deep = bed + ridge / 2
    under = shapely.area(done.spread) * deep
    assert under + done.ooze == pytest.approx(np.full(3, dab), rel=0.01, abs=0.5)
    assert (done.coverage <= 1 + 1e-9).all() and shapely.area(done.voids) + shapely.area(done.spread) == pytest.approx(
        shapely.area(pieces)
    )
    assert (shapely.area(shapely.difference(done.spread, pieces)) < 1e-6).all()


def test_a_dab_is_round_until_it_meets_the_edge():
    done = press(SQUARE, 80.0, 0.8)  # 100 mm2: a circle of 5.64 mm
    assert reach(done.spread[0]) == pytest.approx((100 / np.pi) ** 0.5, abs=0.05)
    assert done.share == pytest.approx(0.25, abs=1e-3)


def test_a_dab_for_each_piece():
    done = press([SQUARE, shapely.box(0, 0, 10, 20)], np.array([320.0, 80.0]), 0.8)
    assert done.coverage.round(3).tolist() == [1.0, 0.5]


def test_what_stays_in_the_joints_is_never_more_than_was_pressed_out():
    laid = lay_grid(shapely.box(0, 0, 108, 64), Tile(20, 4), 2)
    assert cleared(laid, 0.1, 0.8) == 0.1
    assert cleared(laid, 100, 0.8, share=1.0) == 0
    # first principles: a third of 4.8 mm on 108 x 64 - 15 x 400 mm2
    assert cleared(laid, 100, 0.8) == pytest.approx((108 * 64 - 6000) * 4.8 / 3 / 1000, rel=1e-3)


def test_rules_of_coverage():
    assert [coverage_wanted("opaque", place).number for place in PLACES] == [0.80] * 3 + [0.95] * 4
    assert {coverage_wanted(c, p).number for c in CLARITIES[1:] for p in PLACES} == {1.0}


def test_tubes_and_squeezes():
    assert [tubes(v, 310, 0.15) for v in (0, 1, 269, 270, 540)] == [0, 1, 1, 2, 3]  # 310/1.15 = 269.6
    assert squeeze_out(5, 3, 320.0) == (15, 4.8)
    assert bed_volume(15 * 400, 0.8) == 4.8


# --- cure ----------------------------------------------------------------------------------------------


def test_cured_share_of_a_square_in_closed_form():
    for hours in (0.0, 1.0, 24.0, 120.0, 384.0, 1000.0):
        left = max(20 - 2 * 2.5 * (hours / 24) ** 0.5, 0)
        assert cured_share(SQUARE, hours) == pytest.approx(1 - (left / 20) ** 2, abs=1e-9)


@given(st.floats(0.05, 1.0), st.floats(5, 40), st.floats(5, 100))
@settings(max_examples=30, deadline=None)
def test_there_and_back(share, warm, damp):
    shape = shapely.Polygon([(0, 0), (20, 0), (17, 18), (3, 18)])
    hours = hours_to_cure(shape, share, warm, damp / 100)
    assert cured_share(shape, hours, warm, damp / 100) == pytest.approx(share, abs=1e-3)


@given(st.floats(0, 600), st.floats(5, 40), st.floats(0.05, 1))
@settings(max_examples=30, deadline=None)
def test_the_map_of_the_cure_is_the_guarded_law(hours, warm, damp):
    """What the page shows of a moisture cure is cured_share itself, on hollow pieces too."""
    hollow = shapely.Polygon([(0, 0), (20, 0), (20, 20), (10, 6), (0, 20)])
    done = progress("acetoxy silicone", [SQUARE, hollow], hours, Climate(warm, damp))
    assert done.share == pytest.approx(cured_share([SQUARE, hollow], hours, warm, damp), abs=1e-12)
    left = 1 - shapely.area(done.cores) / [400, hollow.area]
    assert left == pytest.approx(done.share, abs=1e-12)


def test_many_pieces_and_times():
    pieces = lay_grid(shapely.box(0, 0, 108, 64), 20, 2).shapes
    found = cured_share(pieces, [0.0, 24.0, 1e4])
    assert found.shape == (15, 3) and (np.diff(found, axis=1) >= 0).all()
    assert found[:, 0].max() == 0 and found[:, 2].min() == pytest.approx(1)
    assert cured_share(pieces, 24.0).shape == (15,) and cured_share(SQUARE, [1.0, 2.0]).shape == (2,)


def test_half_the_tile_takes_a_quarter_of_the_wait():
    whole, half = hours_to_cure(SQUARE), hours_to_cure(shapely.box(0, 0, 10, 10))
    assert whole / half == pytest.approx(4, rel=0.01)


def test_cold_and_dry_are_slower():
    """First principles: with the root of the vapour's pressure; 10 C against 23 C is 0.66 (A10, from memory)."""
    assert cure_depth(24.0, 10) / cure_depth(24.0, 23) == pytest.approx(
        (vapour_pressure(10) / vapour_pressure(23)) ** 0.5
    )
    assert cure_depth(24.0, 10) / cure_depth(24.0, 23) == pytest.approx(0.66, abs=0.005)
    assert cure_depth(24.0, 23, 0.25) / cure_depth(24.0) == pytest.approx(0.5**0.5)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: cure_depth(1, humidity=0), "humidity"),
        (lambda: cure_depth(1, humidity=1.2), "humidity"),
        (lambda: cure_depth(1, 60), "temperature"),
        (lambda: cure_depth(-1), "time"),
        (lambda: cure_depth([1, -2]), "hours"),
        (lambda: cured_share(BOW_TIE, 1), "crosses or touches itself"),
        (lambda: cured_share([], 1), "no piece"),
        (lambda: hours_to_cure(SQUARE, 0), "share"),
        (lambda: hours_to_cure(SQUARE, 1.1), "share"),
        (lambda: hours_to_cure("a tile"), "polygon|pieces"),
        (lambda: waits("string", np.array([SQUARE]), Climate()), "choose one of"),
        (lambda: progress("neutral-cure silicone", np.array([SQUARE]), -1, Climate()), "time"),
        (lambda: progress("white polyvinyl acetate", np.array([SQUARE]), 1, Climate(humidity=0)), "humidity"),
        (lambda: pot_minutes(20, 60), "temperature"),
        (lambda: light_minutes(4, 0), "light"),
        (lambda: hold(4, 2), "cured"),
        (lambda: tile_stress(0), "thickness"),
        (lambda: press(SQUARE, -1, 0.8), "dab"),
        (lambda: squeeze_out(0, 3, 1), "working time"),
        (lambda: tubes(1, 0), "tube"),
        (lambda: share_for("juggle"), "turn, fill, handle, wash"),
    ],
    ids=[f"bad {i}" for i in range(21)],
)
def test_bad_input_is_told(call, words):
    with pytest.raises(MosaicError, match=words) as told:
        call()
    assert str(told.value).endswith(".")


def test_the_band_of_a_wait_is_that_of_k():
    found = waits("neutral-cure silicone", [SQUARE], Climate())["wash"]
    assert found.usual == pytest.approx(hours_to_cure(SQUARE))
    assert (found.usual / found.least, found.most / found.usual) == pytest.approx((1.2**2, 1.25**2))


def test_every_family_has_its_own_law():
    piece = np.array([SQUARE])
    last = {name: waits(name, piece, Climate())["wash"].usual for name in families()}
    assert last["neutral-cure silicone"] == pytest.approx(16 * 24, rel=0.01)
    assert last["two-part clear epoxy"] == 7 * 24 and last["UV-curing acrylate"] == 1
    assert last["white polyvinyl acetate"] == pytest.approx((10 / 0.8) ** 2 * 24, rel=0.01)  # about 156 days
    assert last["white polymer-modified cement adhesive"] == 8 * 7 * 24
    assert (progress("two-part clear epoxy", piece, 84, Climate()).share == 0.5).all()
    assert all(list(waits(name, piece, Climate())) == list(STEPS) for name in families())


def test_a_fresh_bed_holds_a_small_tile_and_not_a_thick_one():
    assert hold(4, 0, fresh=200).words == "it holds its tile"
    assert hold(12, 0, fresh=200).words.startswith("it slides")
    assert hold(6, 0, fresh=200).words.startswith("unsure")
    assert hold(12, 0.2).times > 50


# --- what a fresh reader found ------------------------------------------------------------------------


def test_what_runs_does_not_hold_upright():
    from mosaiclib.lessons import w03_cure as page

    for name in ("two-part clear epoxy", "UV-curing acrylate"):
        rows = {row.label: row for row in page.report(page.compute(page.Settings(family=name, hours=0.0)))}
        assert rows["Upright it now holds"].verdict.startswith("it does not hold yet")


def test_all_that_is_squeezed_out_is_bought():
    from mosaiclib.lessons import w03_look as page

    def takes(rows):
        return next(row.verdict for row in rows if row.label == "It takes")

    glue = [
        takes(page.report(page.compute(page.Settings(cover=c, ridge=r)))).split(", ")[1]
        for c, r in ((100.0, 0.0), (120.0, 0.0), (100.0, 1.0))
    ]
    assert glue == ["9.4 mL adhesive", "11.3 mL adhesive", "9.4 mL adhesive"]


@pytest.mark.parametrize(
    "call",
    [
        lambda: progress("neutral-cure silicone", np.array([BOW_TIE]), 1, Climate()),
        lambda: progress("neutral-cure silicone", "x", 1, Climate()),
        lambda: press(BOW_TIE, 1, 0.8),
        lambda: press([], 1, 0.8),
        lambda: waits("two-part clear epoxy", "x", Climate()),
        lambda: Climate(humidity=float("nan")),
    ],
    ids=[f"odd {i}" for i in range(6)],
)
def test_odd_things_are_refused_in_a_sentence(call):
    with pytest.raises(MosaicError, match=r"\.$"):
        call()
