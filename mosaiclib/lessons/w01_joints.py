"""Lesson 01: which grid fits a span, what joint it leaves, and what unequal tiles do to it."""

__all__ = [
    "CONTROLS",
    "EDGES",
    "REAL",
    "Result",
    "Settings",
    "compute",
    "draw",
    "drift_chart",
    "report",
    "summary",
]

from dataclasses import dataclass, replace

import numpy as np
import shapely

from mosaiclib.drawing import SQUARED, Drawing, Lines, Plot, Polygons, layout_picture, round_steps, segments
from mosaiclib.drawing import Text as Words
from mosaiclib.drawing.palette import ACCENT, BAND, GLASS_COLOURS, INK, SCREEN, SCREEN_TEXT, WARNING
from mosaiclib.errors import MosaicError
from mosaiclib.glass import parallax
from mosaiclib.job import quantities
from mosaiclib.layout import Fit, Layout, Tile, best_fit, joint_fits, piece_table
from mosaiclib.lesson.controls import Again, Choice, Count, Length, Number, Range, Readings, Switch
from mosaiclib.lessons.practice import BED
from mosaiclib.report import Row
from mosaiclib.spacing import (
    WAYS,
    Judged,
    Outlook,
    SpacerChoice,
    TileSizes,
    joint_rule_a108_02,
    judge_readings,
    least_joint,
    nearest_spacer,
    outlook,
    simulate_face,
    tile_joint_means,
    uniformity_a137_1,
)
from mosaiclib.spacing.tile_sizes import Face
from mosaiclib.units import mm, text
from mosaiclib.words import Text

TITLE = "Space the joints"
REAL, HAND, OWN, VIEW, MATERIAL = "Real tiles", "Working by hand", "Your own row", "The view", "The material"
SMALL = "Too small to see"
EDGES = {
    "tiles flush with the edge": "flush",
    "an equal bare margin": "equal",
    "one joint of bare margin": "joint",
}
COINS = ("US", "euro")
MAGNIFIED = {"as large as it is": 1, "10 times as large": 10}  # the drift of a row's end
NO_FIT = "No whole number"  # of tiles; the sentence goes on with the numbers that come near


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    span: float = 290.0
    tile: float = 20.0
    limits: tuple[float, float] = (1.5, 2.5)
    edge: str = "one joint of bare margin"
    sd: float = 0.2
    readings: tuple[float, ...] = ()
    way: str = "spacer stick"
    box: int = 1
    drift: str = "as large as it is"
    eye_sd: float = 0.4
    every: int = 5
    coins: str = "US"
    stick: float = 2.0
    own: tuple[float, ...] = ()
    height: float = 135.0
    thickness: float = 4.0
    bed: float = BED
    squared: str = "no squared paper"
    behind: bool = False
    wall: float = 8.0
    eye: float = 30.0


CONTROLS = (
    Length("span", "Span", 40, 600, 1, refuses=(NO_FIT,), help="the width of glass to be covered"),
    Length("tile", "Tile", 5, 50, 0.5, refuses=(NO_FIT,), help="its side, as it is sold"),
    Range("limits", "Joint limits", 0, 10, 0.1, help="the narrowest and widest you accept"),
    Choice("edge", "Edge rule", EDGES),
    Length(
        "sd", "Size variation", 0, 0.8, 0.05, fold=REAL, help="standard deviation: two tiles in three are off by less"
    ),
    Readings(
        "readings",
        "Readings",
        fold=REAL,
        help="ten tiles or so by callipers, with spaces between; they replace the size variation",
    ),
    Choice("way", "Spacing", WAYS, fold=REAL),
    Again("box", "Another box of tiles", fold=REAL),
    Choice(
        "drift", "Show the drift", MAGNIFIED, fold=SMALL, help="of each row's end; half a millimetre is hard to see"
    ),
    Length(
        "eye_sd", "Error by eye", 0, 2, 0.1, fold=HAND, help="standard deviation: two joints in three are off by less"
    ),
    Count("every", "Marks every", 1, 20, unit="tiles", fold=HAND, help="for the spacing by marks"),
    Choice("coins", "Coins in reach", COINS, fold=HAND),
    Length("stick", "Craft stick", 0.5, 5, 0.1, fold=HAND, help="measure it: no standard thickness was found"),
    Readings("own", "Joints", fold=OWN, help="of your own row, with spaces between"),
    Length("height", "Height", 30, 400, 1, fold=MATERIAL, help="of the glass to be covered"),
    Length("thickness", "Tile thickness", 2, 12, 0.5, fold=MATERIAL),
    Length("bed", "Adhesive bed", 0.2, 3, 0.1, fold=MATERIAL),
    Choice("squared", "Squared paper", tuple(SQUARED), fold=VIEW),
    Switch("behind", "Seen from behind", fold=VIEW),
    Length("wall", "Glass thickness", 0, 30, 0.5, fold=VIEW, help="that a guide line is seen through"),
    Number("eye", "Viewing angle", 0, 80, 5, "degrees", fold=VIEW, help="0 is square on"),
)


TILE_PALETTE = ("sea green", "sky blue", "leaf green", "blue")
MOST_TILES = 4000


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    across: Fit
    down: Fit
    fits: tuple[Fit, ...]
    sizes: TileSizes
    outlook: Outlook
    face: Face
    layout: Layout
    spacer: SpacerChoice
    least_joint: float
    own: Judged | None


def compute(settings: Settings) -> Result:
    """Fit the grid and lay it with drawn tiles.

    >>> found = compute(Settings())
    >>> found.across.count, round(found.across.joint, 2)
    (13, 2.14)
    """
    s, rule = settings, EDGES[settings.edge]
    least, greatest = s.limits
    wanted = (least + greatest) / 2
    across = best_fit(s.span, s.tile, wanted, least, greatest, rule)
    down = best_fit(s.height, s.tile, across.joint, 0.0, s.height, "equal")
    if across.count * down.count > MOST_TILES:
        raise MosaicError(
            f"That is over {MOST_TILES} tiles, too many to look at; take a shorter span or a larger tile."
        )
    sizes = TileSizes.measured(s.readings) if s.readings else TileSizes(s.tile, s.sd)
    way = {"nominal": s.tile, "sizes": sizes, "joint": across.joint, "eye_sd": s.eye_sd, "every": s.every}
    face = simulate_face(across.count, down.count, s.way, seed=s.box, **way)
    return Result(
        settings=s,
        across=across,
        down=down,
        fits=tuple(_fits(s, rule)),
        sizes=sizes,
        outlook=outlook(s.way, tiles=across.count, limit=least, **way),
        face=face,
        layout=_layout(s, across, down, face),
        spacer=nearest_spacer(across.joint, currency=s.coins, stick=s.stick),
        least_joint=joint_rule_a108_02(sizes.variation if s.readings else sizes.expected_range(10)),
        own=judge_readings(s.own, least, greatest) if s.own else None,
    )


def _fits(s: Settings, rule: str) -> list[Fit]:
    """List every number of tiles whose joint lies within the limits."""
    if rule == "equal":
        return [best_fit(s.span, s.tile, joint, *s.limits, rule) for joint in s.limits]
    return joint_fits(s.span, s.tile, *s.limits, "joint" if rule == "joint" else 0.0)


def _layout(s: Settings, across: Fit, down: Fit, face: Face) -> Layout:
    """Return the drawn tiles as a layout, rows from the top."""
    columns, rows = across.count, down.count
    order = np.arange(rows * columns).reshape(rows, columns)[::-1].ravel()
    x, y = across.edge + face.x[order], down.edge + face.y[order]
    width, height = face.width[order], face.height[order]
    row, place = np.divmod(np.arange(rows * columns), columns)
    table = piece_table(
        len(order),
        face="practice face",
        band="field",
        row=row + 1,
        place=place + 1,
        tile=s.tile,
        colour=np.array(TILE_PALETTE)[(place + 2 * row) % len(TILE_PALETTE)],
        width=width,
        height=height,
        area=width * height,
        why="whole: laid as it came out of the box",
    )
    shapes = shapely.box(x, y, x + width, y + height)
    outline = shapely.box(0, 0, s.span, s.height)
    return Layout(outline, shapes, table, across.joint, *s.limits, Tile(s.tile, s.thickness))


def _stretches(result: Result) -> tuple[np.ndarray, list[str]]:
    """Return the joints within rows as lines with their class."""
    face, tile = result.face, result.settings.tile
    ends = face.across.starts + face.across.sizes
    middle = (ends[:, :-1] + face.across.starts[:, 1:]) / 2 + result.across.edge
    low = np.broadcast_to(face.y.reshape(ends.shape)[:, :1] + result.down.edge, middle.shape)
    lines = np.stack([middle, low, middle, low + tile], axis=-1).reshape(-1, 4)
    least, greatest = result.settings.limits
    width = face.across.joints.ravel()
    names = np.where(width < least - 1e-9, "narrow", np.where(width > greatest + 1e-9, "wide", "fine"))
    return lines, names.tolist()


def draw(result: Result) -> Drawing:
    """Draw the face to scale with its really unequal tiles, joints marked by width, and each row's drift magnified where asked."""
    s, times = result.settings, MAGNIFIED[result.settings.drift]
    more = 0.0 if times == 1 else max(times * float(result.face.across.drift[:, -1].max()), 0.0)
    drawn = layout_picture(
        result.layout,
        view="behind" if s.behind else "front",
        squared=SQUARED[s.squared],
        joints=_stretches(result),
        over=() if times == 1 else _magnified(result, times),
        title="A practice face with unequal tiles",
    )
    return replace(drawn.shifted(more if s.behind else 0.0, 0.0), width=drawn.width + more)


def _magnified(result: Result, times: int) -> list:
    """Draw the drift of each row so many times as large, as a bar from where the row should end, and say so above."""
    s, across = result.settings, result.across
    end = across.edge + across.count * s.tile + (across.count - 1) * across.joint
    size = SCREEN_TEXT * max(s.span / SCREEN[0], s.height / SCREEN[1])
    low = result.face.y.reshape(result.face.across.drift.shape)[:, 0] + result.down.edge + 0.25 * s.tile
    tips = end + times * result.face.across.drift[:, -1]
    bars = shapely.box(np.minimum(tips, end), low, np.maximum(tips, end), low + 0.5 * s.tile)
    should = segments([[end, 0.0, end, s.height + 0.6 * size]])
    words = f"each row's drift, drawn {times} times as large"
    return [
        Lines(should, INK, 0.1 * size, (0.4 * size, 0.3 * size)),
        Polygons(bars, WARNING, ACCENT, 0.1 * size, name="magnified"),
        Words(
            0.0 if s.behind else end, s.height + 0.9 * size, words, size, "start" if s.behind else "end", colour=ACCENT
        ),
    ]


def drift_chart(result: Result) -> Drawing:
    """Draw how far each row's end drifts, with the band that 19 rows in 20 stay within."""
    count = np.arange(1, result.across.count + 1)
    mean, sd, rows = result.outlook.drift_mean, result.outlook.drift_sd, result.face.across.drift
    low, high = mean - 2 * sd, mean + 2 * sd
    ticks = round_steps(min(low.min(), rows.min(), 0.0), max(high.max(), rows.max(), 0.1))
    across = [tile for tile in round_steps(1, len(count)) if 1 <= tile <= len(count) and tile == int(tile)]
    ends = (0.5, len(count) + 0.5), (ticks[0], ticks[-1])
    plot = Plot(*ends, ("tile in the row", "drift of its far edge [mm]"), (across, ticks), height=62)
    middle, row = (GLASS_COLOURS[name].fill for name in ("bottle green", "blue"))
    plot.band(count, low, high, BAND)
    plot.line(count, rows, row, width=0.25, opacity=0.7)
    plot.line(count, mean, middle)
    for words, tone in (("19 rows in 20", BAND), ("mean of all rows", middle), ("a row of the picture", row)):
        plot.key(words, tone)
    end = mm(round(low[-1], 1), round(high[-1], 1))
    return plot.drawing("Drift against tile number", text(f"The end of a row of {count[-1]} drifts from ", end, "."))


def report(result: Result) -> list[Row]:
    """Tell the results, rounded once."""
    s, look = result.settings, result.outlook
    least, greatest = s.limits
    fits = [part for fit in result.fits for part in ("; ", f"{fit.count} tiles, joint ", mm(fit.joint))][1:]
    edge = max(result.across.edge, 0.0)
    rows = [
        Row("Fits across", text(*fits), "", text("joints from ", mm(least, greatest))),
        Row("Grid", f"{result.across.count} across, {result.down.count} down"),
        Row("Joint", round(result.across.joint, 2), "mm", _edge_words(edge)),
        Row("Spacer", " on ".join(result.spacer.names), "", _spacer_words(result), checked="coins"),
        Row("End of the row may be off by", round(2 * float(look.drift_sd[-1]), 2), "mm", _drift_words(result)),
        Row(
            "Row with a joint too narrow",
            round(100 * look.chance_under),
            "%",
            _chance_words(look.chance_under),
        ),
        Row("Tiles", round(result.sizes.mean, 2), "mm", result.sizes.sentence, checked="sizes of tiles"),
        Row("Least joint for them", round(result.least_joint, 2), "mm", _rule_words(result), checked="joints"),
        *_evenness(result),
    ]
    takes = Row("It takes", "", "", str(quantities(result.layout, s.bed)))
    return [*rows, _through_glass(s), *_own_row(result), takes]


def _own_row(result: Result) -> list[Row]:
    """Judge the joints that the learner measured."""
    if result.own is None:
        return []
    inside = round(100 * result.own.share_within)
    return [Row("Your own row", inside, "% within", text(result.own.sentences[0], " ", result.own.sentences[1]))]


def _spacer_words(result: Result) -> str | Text:
    """Say how the spacer fits, and where it leaves the learner's limits."""
    spacer, (least, greatest) = result.spacer, result.settings.limits
    if least - 1e-9 <= result.across.joint + spacer.error <= greatest + 1e-9:
        return spacer.sentence
    limits = mm(least, greatest)
    return text(spacer.sentence, " That is outside your limits of ", limits, ": measure another spacer.")


def _through_glass(s: Settings) -> Row:
    """Tell how a guide line behind the glass misleads an eye that looks aslant."""
    seen = parallax(s.wall, s.eye)
    aslant = f"off it lands a tile that you set on it, looking from {s.eye:g} degrees; the line itself appears "
    words = text(aslant, mm(round(seen.line_shift, 1)), " off")
    return Row(
        "Guide line behind the glass",
        round(seen.tile_shift, 1),
        "mm",
        words if s.wall and s.eye else "no shift",
    )


def _edge_words(edge: float) -> str | Text:
    return "tiles flush with the edge" if edge < 0.005 else text("and ", mm(edge), " clear at each end")


def _drift_words(result: Result) -> str:
    off = float(result.outlook.drift_mean[-1])
    much = 2 * float(result.outlook.drift_sd[-1]) + abs(off)
    if much < 0.005:
        return "no drift, because both ends are held"
    over = much > result.across.joint / 2
    verdict = "That is more than half a joint: use marks." if over else "No joint is out of place."
    return f"19 rows in 20 stay within that. {verdict}"


def _chance_words(chance: float) -> str:
    words = ((0.02, "hardly ever"), (0.25, "now and then"), (0.75, "often"))
    return next((word for limit, word in words if chance <= limit), "nearly always")


def _rule_words(result: Result) -> str:
    met = result.across.joint >= result.least_joint - 1e-9
    ten = "three times the variation (largest less smallest) of ten tiles, never under "
    how = text(ten, mm(least_joint()), " (ANSI A108.02)")
    return f"{how}: {'met' if met else 'not met, sort the tiles or widen the joint'}"


def _evenness(result: Result) -> list[Row]:
    """Judge the drawn face as a sheet, where there are rows enough to look along."""
    joints = result.face.across.joints
    if joints.size and joints.min() < 0:
        return [
            Row(
                "Evenness (ANSI A137.1)",
                "not met",
                "",
                "some tiles do not fit at all: they overlap in the picture",
            )
        ]
    if min(joints.shape) < 2:
        return []
    found = uniformity_a137_1(joints.T, tile_joint_means(joints).ravel())
    return [Row("Evenness (ANSI A137.1)", "met" if found.passes else "not met", "", found.sentence, checked="joints")]


def summary(result: Result) -> Text:
    """Return the grid that fits, and its joint."""
    across, down = result.across, result.down
    grid = f"{across.count} tiles across and {down.count} down" if down.count else f"{across.count} tiles across"
    return text(grid, " fit, with joints of ", mm(round(across.joint, 2)), ".")


CHARTS = {REAL: drift_chart}
