"""The questions of lesson 02."""

__all__ = ["QUESTIONS"]

import math
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from mosaiclib.glass.facets import gap_under_edges, least_radius_for_bed
from mosaiclib.layout.rowspec import narrow_end
from mosaiclib.layout.wedges import tightest_radius, uncut_radius, wedge
from mosaiclib.lesson.questions import Question, Slip

Values = Mapping[str, Any]
LENGTH_UNITS = ("mm", "cm", "in")
FRACTIONS = {"whole tiles": 1.0, "halves, laid lengthwise": 1 / 2, "thirds, laid lengthwise": 1 / 3}
NONE = "none of these"


def _bend(rng: np.random.Generator) -> dict[str, Any]:
    low = float(rng.choice([1.0, 1.5, 2.0]))
    return {"side": int(rng.choice([10, 12, 15, 20])), "low": low, "high": low + float(rng.choice([0.5, 1.0]))}


def _uncut(v: Values) -> float:
    return uncut_radius(width=v["side"], height=v["side"], joint_min=v["low"], joint_max=v["high"])


def _ring(rng: np.random.Generator) -> dict[str, Any]:
    values = {
        "side": int(rng.choice([10, 12, 15])),
        "radius": int(rng.integers(40, 90)),
        "joint": float(rng.choice([1.5, 2.0])),
    }
    return values | {"count": _wedge(values).count}


def _wedge(v: Values):
    return wedge(v["radius"], width=v["side"], height=v["side"], joint=v["joint"])


def _angle(rng: np.random.Generator) -> dict[str, Any]:
    return {"height": int(rng.choice([8, 10, 15, 20])), "angle": int(rng.integers(5, 16))}


def _taper(v: Values) -> float:
    return 2 * v["height"] * math.tan(math.radians(v["angle"]) / 2)


def _outer(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "side": int(rng.choice([8, 10, 12])),
        "joint": float(rng.choice([1.5, 2.0])),
        "count": int(rng.integers(30, 44)),
    }


def _tight(rng: np.random.Generator) -> dict[str, Any]:
    # each answer as often as any other, at radii where a full ring agrees with the open row
    radii = ((5,), (7,), (9, 10, 11, 12), (18, 20, 25, 30))
    return {"radius": int(rng.choice(radii[rng.integers(len(radii))])), "joint": 2.0, "narrow": narrow_end(20.0)}


def _fraction(v: Values) -> str:
    """The largest pieces of a 20 mm tile whose wedges keep their narrow end."""
    for name, share in FRACTIONS.items():
        if v["radius"] >= tightest_radius(width=20, height=20 * share, joint=v["joint"], narrow_min=v["narrow"]):
            return name
    return NONE


def _one_larger(v: Values) -> str:
    """The next larger choice than the right one."""
    sizes = [*FRACTIONS, NONE]
    return sizes[sizes.index(_fraction(v)) - 1]


def _reason(rng: np.random.Generator) -> dict[str, Any]:
    return {"inside": int(rng.integers(20, 60)), "outside": 0} | {}


def _with_outside(rng: np.random.Generator) -> dict[str, Any]:
    values = _reason(rng)
    return values | {"outside": values["inside"] + 10}


def _bends(rng: np.random.Generator) -> dict[str, Any]:
    step = float(rng.choice([0.2, 0.25, 0.5]))
    low, turns = float(rng.choice([4.0, 5.0, 6.0])), int(rng.integers(4, 10))
    return {"step": step, "low": low, "high": low + turns * step, "wide": 10, "wedges": int(rng.integers(30, 60))}


def _settings(v: Values) -> int:
    """How many settings of a gauge narrow ends take, from the least to the greatest."""
    return round(v["high"] / v["step"]) - round(v["low"] / v["step"]) + 1


def _wide_line(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "rows": int(rng.integers(2, 5)),
        "height": int(rng.choice([8, 10, 12, 15])),
        "joint": float(rng.choice([1.5, 2.0, 2.5])),
    }


def _left_out(v: Values) -> float:
    """The stretch of the line below that the rows on top take, a joint on either side of them."""
    return v["rows"] * v["height"] + (v["rows"] + 1) * v["joint"]


def _slanting(rng: np.random.Generator) -> dict[str, Any]:
    return {"wide": int(rng.integers(12, 40)), "angle": int(rng.choice([30, 35, 40, 55, 60, 65]))}


def _stretch(v: Values, of: Callable[[float], float] = math.sin) -> float:
    return v["wide"] / of(math.radians(v["angle"]))


def _meeting(rng: np.random.Generator) -> dict[str, Any]:
    one, two = rng.choice(["a ribbon", "a wave", "a bow", "a straight line"], 2, replace=False).tolist()
    how = {"over": f"{two.capitalize()} lies on top of {one}", "shared": f"{two.capitalize()} and {one} stop half way"}
    meet = str(rng.choice(["over", "shared"]))
    return {"meet": meet, "told": how[meet]}


def _into_a_motif(rng: np.random.Generator) -> dict[str, Any]:
    # a half width in which one row more would fit if joints took no room, so that who forgets them is told so
    height, joint, rows = int(rng.choice([10, 12])), 2, int(rng.integers(2, 5))
    middle = int(rng.choice([8, 10, 14]))
    rest = int(rng.integers(max(height - rows * joint, 1), height + joint))
    wide = 2 * (rows * (height + joint) + rest) + middle
    return {"wide": wide, "height": height, "joint": joint, "middle": middle}


def _fitting(v: Values, joint: float | None = None, share: float = 0.5) -> int:
    """How many rows fit between the edge and the middle."""
    each = v["height"] + (v["joint"] if joint is None else joint)
    return math.floor((v["wide"] - v["middle"]) * share / each + 1e-9)


def _disc(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "wide": 2 * int(rng.integers(40, 80)),
        "side": int(rng.choice([8, 10, 12])),
        "joint": float(rng.choice([1.5, 2.0])),
    }


def _closed(v: Values) -> int:
    return wedge(v["wide"] / 2 - v["side"], width=v["side"], height=v["side"], joint=v["joint"]).count


BELOW = "only pieces of the line below"
ABOVE = "only pieces of the line on top"
BOTH = "pieces of both lines"
INSIDE = "the narrow end, because it sits on the inside radius and shrinks first"
OUTSIDE = "the wide end, because it is the longer one"
CENTRE = "both alike, because the middle line rules"


def _vessel(rng: np.random.Generator) -> dict[str, Any]:
    return {"girth": int(rng.integers(16, 41)) * 10, "width": int(rng.choice([15, 20, 25]))}


def _gap(v: Values, radius: float | None = None) -> float:
    return float(gap_under_edges(v["width"], v["girth"] / (2 * math.pi) if radius is None else radius))


def _ring_of_tiles(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "count": int(rng.integers(10, 21)),
        "thickness": int(rng.choice([4, 6])),
        "joint": float(rng.choice([1.5, 2.0])),
    }


def _opened(v: Values) -> float:
    """The joint at the face: the sides of two tiles stand at 360/N degrees, and each is t long."""
    return v["joint"] + 2 * v["thickness"] * math.sin(math.pi / v["count"])


def _beds(rng: np.random.Generator) -> dict[str, Any]:
    return {"width": int(rng.choice([15, 20, 25])), "bed": 0.8, "thickest": float(rng.choice([1.5, 2.0, 2.5]))}


def _least_girth(v: Values) -> float:
    return 2 * math.pi * float(least_radius_for_bed(v["width"], v["bed"], v["thickest"]))


PIECES_ROUND = {"whole tiles": 1.0, "halves, short side round": 1 / 2, "thirds, short side round": 1 / 3}


def _round_glass(rng: np.random.Generator) -> dict[str, Any]:
    # each answer as often as any other, well away from where it turns
    radii = ((7, 8), (12, 14, 16), (28, 32, 36), (100, 120, 150))
    radius = int(rng.choice(radii[rng.integers(len(radii))]))
    return {"girth": round(2 * math.pi * radius / 5) * 5, "most": 0.6, "side": 20}


def _sits(v: Values, place: int = 0) -> str:
    """The largest pieces whose gap is no more than what is allowed, or the choice so many places after them."""
    R, sizes = v["girth"] / (2 * math.pi), [*PIECES_ROUND, NONE]
    fits = (name for name, part in PIECES_ROUND.items() if gap_under_edges(v["side"] * part, R) <= v["most"])
    return sizes[(sizes.index(next(fits, NONE)) + place) % len(sizes)]


QUESTIONS = (
    Question(
        "whole on a bend",
        "Square tiles of {side} mm may keep a joint of {low:g} to {high:g} mm. From which inside radius "
        "on may they stay whole?",
        _bend,
        _uncut,
        unit="mm",
        units=LENGTH_UNITS,
        within=1.0,
        slips=(
            Slip(
                "joint left out",
                lambda v: v["side"] ** 2 / (v["high"] - v["low"]),
                "you left out the joint beside the tile.",
            ),
            Slip("outside radius", lambda v: _uncut(v) + v["side"], "that is the outside radius."),
        ),
        hint="Take the rule in The idea. First add tile and least joint; then ask how far the joint may open, greatest less least.",
        because="Height x (tile + least joint), divided by (greatest - least joint), is {answer} mm.",
    ),
    Question(
        "taper from the angle",
        "Pieces {height} mm high turn by {angle} degrees from one joint to the next. By how much is the "
        "wide end wider than the narrow end?",
        _angle,
        _taper,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.04,  # height times the angle in radians is as good
        slips=(
            Slip("one side", lambda v: _taper(v) / 2, "that is what one side loses; both sides are cut."),
            Slip(
                "degrees as they are",
                lambda v: v["height"] * v["angle"],
                "divide that by 57: one degree is 1/57 of the height.",
            ),
        ),
        hint="Take the rule in The idea: height times degrees, divided by 57.",
        because="Height times degrees, divided by 57, is about {answer} mm.",
    ),
    Question(
        "taper from the radius",
        "A ring of {side} mm squares has an inside radius of {radius} mm and joints of {joint:g} mm. It "
        "takes {count} pieces, as few as the wide end allows. What is the taper of each?",
        _ring,
        lambda v: _wedge(v).taper,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.03,
        slips=(
            Slip("one side", lambda v: _wedge(v).taper / 2, "that is what one side loses; both sides are cut."),
            Slip("narrow end", lambda v: _wedge(v).narrow, "that is the narrow end; the taper is what is nipped off."),
        ),
        hint="One turn has 360 degrees, shared by the pieces. Then take the rule in The idea: height times degrees, divided by 57.",
        because="Height times the degrees from one joint to the next, divided by 57, is about {answer} mm; the joint does not matter.",
    ),
    Question(
        "which end rules",
        "A row has an inside radius of {inside} mm and an outside radius of {outside} mm. Which end "
        "decides how tight it may be?",
        _with_outside,
        lambda v: INSIDE,
        options=(INSIDE, OUTSIDE, CENTRE),
        slips=(
            Slip("wide end", lambda v: OUTSIDE, "the wide end is limited by the tile, never by the bend."),
            Slip("middle", lambda v: CENTRE, "the middle is what stays; the inside is what is nipped away."),
        ),
        hint="At which end is the piece narrower?",
        because="A glass point under 3 to 5 mm breaks: that happens at {answer}.",
    ),
    Question(
        "which fraction",
        "A row of a 20 mm tile is to turn on an inside radius of {radius} mm, joint {joint:g} mm, with narrow "
        "ends of {narrow:g} mm or more, about a third of the tile. Which are the largest pieces that can do it?",
        _tight,
        _fraction,
        options=(*FRACTIONS, NONE),
        slips=(Slip("too large", _one_larger, "check the narrow end of that piece at this radius."),),
        hint="Set tile, joint and radius under One ring, Tiles cut to whole, then half, then third, and read the narrow end.",
        because="The largest that can do it: {answer}. What decides is the narrow end, on the inside of the bend.",
    ),
    Question(
        "next row outward",
        "A ring has {count} square pieces of {side} mm with {joint:g} mm joints. The next row outward is "
        "of the same squares. About how many more "
        "pieces does it take?",
        _outer,
        lambda v: 2 * math.pi,
        unit="pieces",
        units=("pieces", "mm", "%"),
        within=0.75,  # a whole number of pieces makes it six, or seven now and then
        slips=(
            Slip("none", lambda v: 0, "the next row has a larger radius, so its circle is longer."),
            Slip("half", lambda v: math.pi, "that is what half a ring takes."),
            Slip("one quarter more", lambda v: v["count"] / 4, "the gain does not depend on how many there are."),
        ),
        hint="A circle is 2 pi (about 6.3) times its radius, and the next row's radius is larger by one tile and one joint.",
        because="It is 2 pi, however large the ring: {answer} before rounding, so six, or seven now and then.",
    ),
    Question(
        "how many gauges",
        "A row has {wedges} wedges, all with a wide end of {wide} mm. Their narrow ends are of every size from {low:g} to "
        "{high:g} mm. Gauges are set in steps of {step:g} mm, and each end is rounded to the nearest step. How many gauges "
        "do you need for the row?",
        _bends,
        _settings,
        slips=(
            Slip("steps", lambda v: _settings(v) - 1, "those are the steps from the first gauge to the last."),
            Slip("one a wedge", lambda v: v["wedges"], "wedges alike within half a step are cut by one gauge."),
        ),
        hint="Write down the first settings, beginning with the least narrow end, and count on to the last.",
        because="There is a gauge at each end of the range and one at every step between them: {answer} in all.",
    ),
    Question(
        "which is cut back",
        "Two lines cross. {told}. Which pieces are cut where they meet?",
        _meeting,
        lambda v: BELOW if v["meet"] == "over" else BOTH,
        options=(BELOW, ABOVE, BOTH),
        slips=(
            Slip("the upper one", lambda v: ABOVE, "the line on top is never cut."),
            Slip(
                "the other way",
                lambda v: BOTH if v["meet"] == "over" else BELOW,
                "read again whether one of them lies on top.",
            ),
        ),
        hint="A line on top goes on as if the other were not there.",
        because="What is cut here: {answer}.",
    ),
    Question(
        "stretch that is left out",
        "A line of {rows} rows, each {height} mm high, lies on top of another and crosses it squarely. All joints are "
        "{joint:g} mm, also on either side of it. How long a stretch of the line below is left out?",
        _wide_line,
        _left_out,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.05,
        slips=(
            Slip("no joints", lambda v: v["rows"] * v["height"], "that is the glass alone; joints take room too."),
            Slip(
                "joints between only",
                lambda v: _left_out(v) - 2 * v["joint"],
                "the line on top has a joint on either side as well.",
            ),
        ),
        hint="Go across the line on top: a joint, a row, a joint, a row, and so on.",
        because="There is one joint more than rows: {answer} mm.",
    ),
    Question(
        "crossing at a slant",
        "A line on top is {wide} mm wide with its joints. It crosses the line below at {angle} degrees. How long a stretch "
        "of the middle of the line below does it take?",
        _slanting,
        _stretch,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.1,
        slips=(
            Slip("as if square", lambda v: v["wide"], "so much it takes at 90 degrees; at a slant it is more."),
            Slip("times the sine", lambda v: v["wide"] ** 2 / _stretch(v), "divide by the sine: the stretch grows."),
            Slip("cosine", lambda v: _stretch(v, math.cos), "at 90 degrees that would be endless; take the sine."),
        ),
        hint="Draw it: the width is one side of a triangle with a right angle, the stretch its longest side.",
        because="The width divided by the sine of the angle is {answer} mm.",
    ),
    Question(
        "rows in a motif",
        "A motif is {wide} mm wide where it is widest. Rows {height} mm high go inwards from its edge, each with a joint of "
        "{joint} mm behind it. The middle needs {middle} mm across. How many rows fit?",
        _into_a_motif,
        _fitting,
        slips=(
            Slip(
                "whole width",
                lambda v: _fitting(v, share=1.0),
                "rows come in from both sides: only half the width is theirs.",
            ),
            Slip("joints left out", lambda v: _fitting(v, joint=0.0), "each row takes its joint besides its height."),
        ),
        hint="Take the middle off, halve what is left, and see how often a row with its joint goes into it.",
        because="Half of what is left beside the middle holds {answer} rows with their joints.",
    ),
    Question(
        "closed row of a disc",
        "The outermost row of a disc {wide} mm across is of squares of {side} mm, cut to wedges, with joints of {joint:g} mm. "
        "The wide ends stand on the rim. How many pieces are the fewest that close the row?",
        _disc,
        _closed,
        within=1.0,  # along the rim or along its chords
        slips=(
            Slip(
                "inside circle",
                lambda v: math.ceil(2 * math.pi * (v["wide"] / 2 - v["side"]) / (v["side"] + v["joint"])),
                "that is counted on the inside; the wide ends stand on the rim.",
            ),
            Slip(
                "joints left out",
                lambda v: math.ceil(math.pi * v["wide"] / v["side"]),
                "each piece takes its joint along the rim as well.",
            ),
        ),
        hint="How long is the rim, and how much of it do one piece and one joint take?",
        because="The rim, pi times the width, divided by a square and a joint and rounded up: {answer}.",
    ),
    Question(
        "gap under the edges",
        "A flat tile {width} mm wide lies on a round glass with a girth of {girth} mm and touches it along its middle. How far "
        "do its edges stand off the glass?",
        _vessel,
        _gap,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.06,  # square to the glass or to the tile, or by w^2/(8 R)
        slips=(
            Slip(
                "girth as radius", lambda v: _gap(v, v["girth"]), "the girth goes once round: divide it by 6.28 first."
            ),
            Slip(
                "diameter",
                lambda v: _gap(v, v["girth"] / math.pi),
                "that is the diameter; the formula wants the radius.",
            ),
            Slip(
                "whole width",
                lambda v: float(gap_under_edges(2 * v["width"], v["girth"] / (2 * math.pi))),
                "count from the middle of the tile: half its width.",
            ),
        ),
        hint="Radius: girth divided by 6.28. Then half the width times itself, divided by twice the radius.",
        because="Half the width squared, divided by twice the radius, is about {answer} mm.",
    ),
    Question(
        "joint at the face",
        "{count} flat tiles, {thickness} mm thick, stand round a glass. At their backs the joints are {joint:g} mm. How wide are "
        "they at the face?",
        _ring_of_tiles,
        _opened,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.06,
        slips=(
            Slip("as at the back", lambda v: v["joint"], "the sides of two tiles on a curve are not parallel."),
            Slip(
                "one side only",
                lambda v: v["joint"] + v["thickness"] * math.sin(math.pi / v["count"]),
                "both tiles lean away from the joint.",
            ),
            Slip("it closes", lambda v: 2 * v["joint"] - _opened(v), "that is inside a curve; outside it opens."),
        ),
        hint="Two neighbours stand at 360 degrees divided by the count. The joint opens by thickness x degrees / 57.",
        because="It opens by the thickness times the angle between the tiles: {answer} mm at the face.",
    ),
    Question(
        "least girth",
        "The bed is {bed:g} mm under the middle of a tile {width} mm wide, and may be {thickest:g} mm under its edges. What is the "
        "least girth of a glass that it can be laid on?",
        _beds,
        _least_girth,
        unit="mm",
        units=LENGTH_UNITS,
        within=10.5,  # with or without the small last term
        slips=(
            Slip(
                "the radius",
                lambda v: _least_girth(v) / (2 * math.pi),
                "that is the radius; the girth is 6.28 times as long.",
            ),
            Slip(
                "the diameter",
                lambda v: _least_girth(v) / math.pi,
                "that is the diameter; the girth is 3.14 times as long.",
            ),
            Slip(
                "thinnest bed forgotten",
                lambda v: 2 * math.pi * float(least_radius_for_bed(v["width"], 0.0, v["thickest"])),
                "the gap may only be the thickest bed less the thinnest.",
            ),
        ),
        hint="The gap may be the thickest bed less the thinnest. Radius: half the width squared, divided by twice that gap.",
        because="The radius times 6.28 is about {answer} mm.",
    ),
    Question(
        "which piece goes round",
        "A glass has a girth of {girth} mm. The edges of a piece may stand off it by {most:g} mm. Which is the largest piece of a "
        "tile of {side} mm that you can take?",
        _round_glass,
        _sits,
        options=(*PIECES_ROUND, NONE),
        slips=(
            Slip(
                "diameter as radius",
                lambda v: _sits(v, -1),
                "work its gap out again, with the girth divided by 6.28 as the radius.",
            ),
            Slip("whole width", lambda v: _sits(v, 1), "count from the middle of the piece: half its width."),
        ),
        hint="Half the piece's width, times itself, divided by twice the radius, must be no more than that.",
        because="The largest that stays within it: {answer}.",
    ),
)
