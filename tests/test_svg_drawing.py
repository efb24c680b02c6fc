"""Drawings: curves within their tolerance, sizes and places, and files that nobody should be sent."""

import math
import time

import numpy as np
import pytest
import shapely
from shapely.affinity import affine_transform, rotate, scale, translate
from svg.path import parse_path

from mosaiclib.errors import MosaicError
from mosaiclib.layout import SvgDrawing, lay_field, lay_rows, survey
from mosaiclib.layout.bezier import elliptic_arc, flattened
from mosaiclib.layout.svg_path import data_of, frame_of, guide_of, length_of, strokes_of

INCH = 25.4 / 96  # [mm] a unit of a drawing that gives no size


def svg(inside, **given):
    words = "".join(f' {name}="{value}"' for name, value in given.items())
    return f'<svg xmlns="http://www.w3.org/2000/svg"{words}>{inside}</svg>'


def path(data, **given):
    words = "".join(f' {name}="{value}"' for name, value in given.items())
    return f'<path d="{data}"{words}/>'


def only(text, **placed):
    """Return the one line of a drawing as a fine line of points [mm]."""
    (stroke,) = SvgDrawing.of_text(text, **placed).lines.values()
    return shapely.LineString(flattened(stroke.path, 1e-4))


def seeded(seed, count=6):
    """Return path data of all commands at random."""
    rng = np.random.default_rng(seed)
    letters = rng.choice(list("LHVCSQTAlhvcsqta"), count)
    parts = [f"M {rng.uniform(-50, 50):.3f} {rng.uniform(-50, 50):.3f}"]
    for letter in letters:
        n = {"H": 1, "V": 1, "C": 6, "S": 4, "Q": 4}.get(letter.upper(), 2)
        numbers = [f"{v:.3f}" for v in rng.uniform(-80, 80, n)]
        if letter in "Aa":
            numbers = [f"{v:.3f}" for v in [*rng.uniform(5, 60, 2), rng.uniform(0, 360)]] + [
                *(str(v) for v in rng.integers(0, 2, 2)),
                *numbers,
            ]
        parts.append(f"{letter} {' '.join(numbers)}")
    return " ".join(parts) + (" z" if rng.random() < 0.5 else "")


def by_the_library(data, count=600):
    """Return points along the path as the library that reads it puts them: no cubics of ours."""
    return np.array([(p.real, p.imag) for part in parse_path(data) for p in map(part.point, np.linspace(0, 1, count))])


def farthest(one, other):
    """Return how far the points of one lie from the line through the others."""
    tree = shapely.STRtree(shapely.linestrings(np.stack([other[:-1], other[1:]], axis=1)))
    return float(tree.query_nearest(shapely.points(one), return_distance=True, all_matches=False)[1].max())


def between_knots(spline, count=20):
    """Return points along a spline, so many to each stretch: where it bends, knots are close."""
    x = spline.x
    return spline(np.interp(np.arange(count * (len(x) - 1) + 1) / count, np.arange(len(x)), x))


# --- tolerance ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("tolerance", [0.5, 0.05, 0.005])
def test_straight_strokes_stay_within_the_tolerance(seed, tolerance):
    data = seeded(seed)
    (stroke,) = strokes_of(data)
    flat, true = flattened(stroke.path, tolerance), by_the_library(data)
    assert farthest(true, flat) <= tolerance * 1.001 + 1e-5
    assert farthest(flat, true) <= 0.01  # they lie on the curve, of which the library gives close points


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("tolerance", [0.5, 0.05])
def test_guides_stay_within_the_tolerance(seed, tolerance):
    data = seeded(seed)
    (stroke,) = strokes_of(data)
    guide = guide_of(stroke, tolerance)
    seen = np.vstack([between_knots(part.spline) for part in guide.parts])
    true = by_the_library(data)
    assert farthest(seen, true) <= tolerance + 0.002  # of the points that are compared
    assert farthest(true, seen) <= tolerance + 0.002
    assert guide.closed == stroke.closed and guide.length == pytest.approx(length_of(stroke.path), rel=0.02)


def test_a_bow_of_an_ellipse_is_a_cubic_within_its_bound():
    """`elliptic_arc` says 7e-8 of the greater radius."""
    cubics = elliptic_arc((3, 4), (1000, 1000), 0.3, 0.1, 6.0)
    t = np.linspace(0, 1, 200)[:, None]
    for a, b, c, d in cubics:
        on = (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d
        assert np.hypot(*(on - [3, 4]).T) == pytest.approx(1000, abs=7e-5)


def test_corners_are_where_the_tangent_breaks():
    house = SvgDrawing.of_text(svg(path("M0 0 V-30 L20 -50 L40 -30 V0 z")), length=200).guide()
    assert len(house.corners) == 5 and house.turning == pytest.approx(360)
    rounded = SvgDrawing.of_text(svg('<rect width="40" height="20" rx="6"/>'), length=200).guide()
    assert not rounded.corners and rounded.length == pytest.approx((120 - 48 + 12 * math.pi) * 5, abs=0.05)
    cusp = SvgDrawing.of_text(svg(path("M0 0 C 60 60 -20 60 40 0")), length=100).guide()
    assert len(cusp.corners) <= 1


@pytest.mark.parametrize("seed", range(20))
def test_frames_and_lengths_of_cubics(seed):
    path_ = np.random.default_rng(seed).normal(0, 40, (5, 4, 2))
    path_[1:, 0] = path_[:-1, 3]
    fine = flattened(path_, 1e-4)
    least, greatest = frame_of(path_)
    assert least == pytest.approx(fine.min(axis=0), abs=2e-4) and greatest == pytest.approx(fine.max(axis=0), abs=2e-4)
    assert length_of(path_) == pytest.approx(shapely.LineString(fine).length, rel=1e-3)


@pytest.mark.parametrize("seed", range(20))
def test_data_comes_back(seed):
    (one,) = strokes_of(seeded(seed))
    (again,) = strokes_of(data_of(one))
    assert again.path[: len(one.path)] == pytest.approx(one.path, abs=1e-4) and again.closed == one.closed
    assert data_of(again).startswith(data_of(one).removesuffix(" Z"))


# --- size and place ----------------------------------------------------------------------------------

BENT = "M10 20 L110 20 Q 120 60 60 70"


@pytest.mark.parametrize(
    ("given", "unit"),
    [
        ({}, INCH),
        ({"width": "200mm", "height": "100mm", "viewBox": "0 0 200 100"}, 1),
        ({"width": "20cm", "height": "10cm", "viewBox": "-5 -5 100 50"}, 2),
        ({"width": "96", "height": "96", "viewBox": "0 0 96 96"}, INCH),
        ({"width": "72pt", "viewBox": "0 0 100 50"}, 0.254),
        ({"width": "300mm", "height": "100mm", "viewBox": "0 0 100 100"}, 1),
        ({"width": "100%", "height": "100%", "viewBox": "0 0 100 50"}, INCH),
    ],
)
def test_a_drawing_has_its_own_size(given, unit):
    assert only(svg(path(BENT), **given)).length == pytest.approx(length_of(strokes_of(BENT)[0].path) * unit, rel=1e-5)


def test_a_length_on_it_gives_the_size():
    text = svg(path(BENT, id="bend") + path("M0 90 h40", id="ruler"))
    for of, seen in (("width", 250), ("height", 250)):
        drawing = SvgDrawing.of_text(text, length=250, of=of, x=40, y=-7)
        frame = shapely.union_all([shapely.LineString(flattened(s.path, 1e-4)) for s in drawing.lines.values()]).bounds
        sides = {"width": frame[2] - frame[0], "height": frame[3] - frame[1]}
        assert sides[of] == pytest.approx(seen, abs=1e-3)
        assert ((frame[0] + frame[2]) / 2, (frame[1] + frame[3]) / 2) == pytest.approx((40, -7), abs=1e-3)
    drawing = SvgDrawing.of_text(text, length=80, of="ruler")
    assert drawing.guide("ruler").length == pytest.approx(80)
    assert drawing.guide("bend").length == pytest.approx(2 * length_of(strokes_of(BENT)[0].path), rel=1e-4)


def test_turned_and_the_right_way_up():
    plain = only(svg(path(BENT)), length=200)
    assert plain.coords[0][1] > plain.coords[-1][1]  # what is at the top of the page is at the top of the glass
    turned = only(svg(path(BENT)), length=200, x=5, y=6, turned=30)
    assert shapely.hausdorff_distance(turned, translate(rotate(plain, 30, origin=(0, 0)), 5, 6)) < 1e-6


@pytest.mark.parametrize(
    ("words", "make"),
    [
        ("translate(30 -8)", lambda line: translate(line, 30, -8)),
        ("translate(30)", lambda line: translate(line, 30, 0)),
        ("scale(2)", lambda line: scale(line, 2, 2, origin=(0, 0))),
        ("scale(2,-3)", lambda line: scale(line, 2, -3, origin=(0, 0))),
        ("rotate(40)", lambda line: rotate(line, 40, origin=(0, 0))),
        ("rotate(40, 7 9)", lambda line: rotate(line, 40, origin=(7, 9))),
        ("matrix(1 .5 -2 3 4 5)", lambda line: affine_transform(line, [1, -2, 0.5, 3, 4, 5])),
        ("skewX(20)", lambda line: affine_transform(line, [1, math.tan(math.radians(20)), 0, 1, 0, 0])),
        ("skewY(20)", lambda line: affine_transform(line, [1, 0, math.tan(math.radians(20)), 1, 0, 0])),
        (
            "translate(30 -8) rotate(40), scale(2)",
            lambda line: translate(rotate(scale(line, 2, 2, origin=(0, 0)), 40, origin=(0, 0)), 30, -8),
        ),
    ],
)
def test_transforms_alone_and_in_groups(words, make):
    line = shapely.LineString(flattened(strokes_of(BENT)[0].path, 1e-4))
    page = shapely.box(-1000, -1000, 1000, 1000).exterior
    frame = '<rect x="-1000" y="-1000" width="2000" height="2000"/>'
    wanted = scale(make(line), INCH, -INCH, origin=(0, 0))
    nested = "".join(f'<g transform="{one})">' for one in words.replace("),", ")").split(")")[:-1])
    for inside in (path(BENT, transform=words), nested + path(BENT) + "</g>" * nested.count("<g")):
        drawing = SvgDrawing.of_text(svg(inside + frame))
        found = shapely.LineString(flattened(drawing.lines["path 1"].path, 1e-4))
        assert shapely.hausdorff_distance(found, wanted) < 1e-3 and page.length == 8000


def test_plain_shapes():
    shapes = {
        '<rect x="3" width="40" height="20"/>': 800,
        '<rect width="40" height="20" rx="5"/>': 800 - (4 - math.pi) * 25,
        '<rect width="40" height="20" rx="30" ry="4"/>': 800 - (4 - math.pi) * 20 * 4,
        '<circle cx="4" r="10"/>': math.pi * 100,
        '<ellipse rx="10" ry="4"/>': math.pi * 40,
        '<polygon points="0,0 10,0 10,10"/>': 50,
        '<polyline points="0,0 10,0 10,10 0 0"/>': 50,
    }
    for words, area in shapes.items():
        drawing = SvgDrawing.of_text(svg(words, viewBox="0 0 100 100", width="100mm"))
        assert drawing.outline(tolerance=0.001).area == pytest.approx(area, rel=1e-3), words
    assert only(svg('<line x1="3" y1="4" x2="6" y2="8"/>')).length == pytest.approx(5 * INCH)


def test_names():
    two = "M0 0 h9 v9 z M20 0 h9"
    drawing = SvgDrawing.of_text(
        svg(path(two, id="wing") + path("M0 30 h9") + path("M0 31 h9", id="wing 2") + path("", id="nothing"))
    )
    assert list(drawing.lines) == ["wing 1", "wing 2", "path 2", "wing 2 (2)"]
    with pytest.raises(MosaicError, match="no line 'beak'; choose one of: wing 1, wing 2, path 2"):
        drawing.guide("beak")
    with pytest.raises(MosaicError, match="choose one of"):
        drawing.guide()
    with pytest.raises(MosaicError, match="is open"):
        drawing.outline("path 2")
    with pytest.raises(MosaicError, match="crosses or touches itself"):
        SvgDrawing.of_text(svg(path("M0 0 L9 9 V0 L0 9 z"))).outline()


def test_in_a_few_lines(tmp_path):
    """What a maker does with a drawing: an outline of glass, a line of it with rows, a field."""
    file = tmp_path / "bird.svg"
    file.write_text(svg('<circle id="glass" r="50"/>' + path("M-40 10 C -20 -40 20 40 40 -10", id="wing")))
    before = file.read_bytes()
    bird = SvgDrawing.read(file, length=240)
    rows = lay_rows(bird.guide("wing"), [{"tile": 20, "fraction": "quarter", "count": 2}], 2, bird.outline("glass"))
    field = lay_field(bird.outline("glass"), rows, 20, 2, search="none")
    assert len(rows) > 20 and len(field) > 50 and survey(rows).overlaps == survey(field).overlaps == 0
    assert file.read_bytes() == before and list(tmp_path.iterdir()) == [file]


# --- what nobody should be sent ----------------------------------------------------------------------

LINE = path("M0 0 L 9 9")
LAUGHS = "".join(f'<!ENTITY l{i} "{f"&l{i - 1};" * 10}">' for i in range(1, 12))
ATTRIBUTE = (
    '<!DOCTYPE svg [<!ATTLIST path d CDATA "' + "M0 0L1 1" * 100_000 + '">]><svg>' + "<path/>" * 200_000 + "</svg>"
)
HOSTILE = {
    "entities in entities": (f'<!DOCTYPE svg [<!ENTITY l0 "ha">{LAUGHS}]><svg><text>&l11;</text>{LINE}</svg>', "entit"),
    "an outside entity": (f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg>&x;{LINE}</svg>', "entit"),
    "an attribute for all": (ATTRIBUTE, "entit"),
    "an entity nobody knows": (svg("&what;" + LINE), "not a whole SVG"),
    "megabytes": (svg(path("M0 0" + " l1 1" * 2_000_000)), "larger than 3 MB"),
    "a megabyte of path": (svg(path("M0 0" + " l1 1" * 400_000)), "300000 letters"),
    "many paths": (svg(LINE * 50_000), "10000 parts"),
    "parts without end": (svg("<g/>" * 500_000), "10000 parts"),
    "groups in groups": (svg("<g>" * 9000 + LINE + "</g>" * 9000), "50 deep"),
    "transforms that grow": (svg('<g transform="scale(10)">' * 40 + LINE + "</g>" * 40), "beyond measure"),
    "transforms to nothing": (svg('<g transform="scale(0)">' + LINE + "</g>"), "beyond measure"),
    "a transform of words": (svg(f'<g transform="explode(3)">{LINE}</g>'), "transform .* cannot be read"),
    "a transform cut off": (svg(f'<g transform="rotate(3 4)">{LINE}</g>'), "transform .* cannot be read"),
    "a transform without end": (svg(f'<g transform="{"rotate(1) " * 100_000}">{LINE}</g>'), "1000 letters"),
    "a transform of NaN": (svg(f'<g transform="scale(NaN)">{LINE}</g>'), "transform .* cannot be read"),
    "NaN": (svg(path("M 0 0 L NaN 3")), "cannot be read from 'L NaN 3' on"),
    "infinity": (svg(path("M 0 0 L 1e999 3")), r"number over 1e\+07"),
    "an arc of nothing": (svg(path("M 0 0 A 1e-200 1e-200 0 0 1 3 3")), "radius is far too small"),
    "half a pair": (svg(path("M 0 0 L 3 3 5")), "cannot be read from '5' on"),
    "no pen": (svg(path("L 3 3")), "must begin with M"),
    "digits without end": (svg(path("M0 0 L" + "1" * 290_000 + "x")), "cannot be read"),
    "a viewBox turned round": (svg(LINE, viewBox="0 0 -100 100"), "viewBox"),
    "a viewBox of nothing": (svg(LINE, viewBox="0 0 0 100"), "viewBox"),
    "a viewBox of NaN": (svg(LINE, viewBox="0 0 NaN 100"), "viewBox"),
    "no width": (svg(LINE, viewBox="0 0 9 9", width="0"), "width and height"),
    "a width of words": (svg(LINE, viewBox="0 0 9 9", width="wide"), "width 'wide'"),
    "a rectangle of NaN": (svg('<rect width="NaN" height="3"/>'), "width 'NaN'"),
    "a circle without end": (svg('<circle r="1e999"/>'), "r '1e999' cannot be read"),
    "a megabyte of corners": (svg(f'<polygon points="{"1,1 " * 300_000}"/>'), "300000 letters"),
    "transforms that shear": (svg('<g transform="skewX(89.9999999)">' * 3 + LINE + "</g>" * 3), "beyond measure"),
    "transforms that shrink": (svg('<g transform="scale(0.01)">' * 40 + LINE + "</g>" * 40), "beyond measure"),
    "turns in turns": (svg('<g transform="rotate(1e308)">' * 45 + path("M0 0 L NaN 1") + "</g>" * 45), "cannot be"),
    "an entity in an attribute": (
        f'<!DOCTYPE svg [<!ENTITY p "{"l1 1" * 1000}">]><svg><path d="M0 0{"&p;" * 500}"/></svg>',
        "entit",
    ),
    "a parameter entity": ('<!DOCTYPE svg [<!ENTITY % a SYSTEM "http://x.invalid"> %a;]><svg/>', "entit"),
    "letters of two bytes cut off": (svg(LINE).encode("utf-16")[:-3], "not a whole SVG"),
    "a zero among the letters": (svg(LINE).replace("L", "\0"), "not a whole SVG"),
    "only text": (svg("<text>hello</text>"), r"no path .*Left out: text \(1\)"),
    "no drawing": ("<html><body/></html>", "not a drawing in SVG"),
    "cut off": (svg(LINE)[:-9], "not a whole SVG"),
    "packed": (b"\x1f\x8b\x08\x00\x00\x00", "not a whole SVG"),
    "empty": ("", "not a whole SVG"),
    "letters of no language": (b'<?xml version="1.0" encoding="klingon"?><svg/>', "not a whole SVG"),
}


@pytest.mark.parametrize("case", HOSTILE)
def test_hostile_files_are_told_in_time_and_change_nothing(case, tmp_path):
    content, words = HOSTILE[case]
    raw = content if isinstance(content, bytes) else content.encode()
    file = tmp_path / "sent.svg"
    file.write_bytes(raw)
    began = time.process_time()
    with pytest.raises(MosaicError, match=words) as told:
        SvgDrawing.read(file)
    assert str(told.value).startswith("sent.svg ") and str(told.value).endswith(".") and len(str(told.value)) < 400
    assert time.process_time() - began < 2
    assert file.read_bytes() == raw and list(tmp_path.iterdir()) == [file]


LONG = {
    "loops": "c 30 30 -30 30 1 0 " * 2900,
    "teeth": "l 1 3 1 -3 " * 1400,
    "fewer teeth": "l 1 3 1 -3 " * 149,
    "a straight in bits": "l 1 1 " * 40_000,
    "ripples": "c 1 3 2 3 3 0 1 -3 2 -3 3 0" * 1400,
    "coils": "a1 1 0 1 1 .1 0 " * 800,
    "halts": "c 1 1 -1 1 .5 .5 " * 2900,
}


@pytest.mark.parametrize("case", LONG)
@pytest.mark.parametrize("ask", ["guide", "outline", "data"])
def test_long_lines_are_made_or_told_in_time(case, ask):
    drawing = SvgDrawing.of_text(svg(path(f"M0 0 {LONG[case]} z")), length=5000)
    began = time.process_time()
    try:
        getattr(drawing, ask)()
    except MosaicError as told:
        assert str(told).startswith("The line 'path 1' cannot be used. ")
    assert time.process_time() - began < 2


def test_what_is_not_read_is_told_and_nothing_is_fetched():
    drawing = SvgDrawing.of_text(
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">'
        + svg(
            "<title>t</title><defs><path d='M0 0 h3'/></defs><script>alert(1)</script><text>hi</text><text>ho</text>"
            f'<image href="http://x.invalid"/><a href="http://x.invalid">{LINE}</a><use href="#w"/>'
            f'<g style="display: none">{LINE}</g><foreignObject/><svg/>'
        )
    )
    assert list(drawing.lines) == ["path 1"]
    told = (
        "script (1)",
        "text (2)",
        "image (1)",
        "link (1)",
        "use (1)",
        "hidden part (1)",
        "foreignObject (1)",
        "svg (1)",
    )
    assert drawing.left_out == tuple(f"Left out: {one}." for one in told)


def test_files_that_are_none(tmp_path):
    for file, words in ((tmp_path / "no.svg", "no file called no.svg"), (tmp_path, "not a plain file")):
        with pytest.raises(MosaicError, match=words):
            SvgDrawing.read(file)


GOOD = svg(
    f'<g transform="translate(3,4) rotate(20)"><rect width="9" height="4" rx="1"/>{path(seeded(3), id="a")}</g>'
    '<polygon points="0,0 4,4 5,0"/>',
    viewBox="0 0 100 100",
    width="200mm",
)


def used(text, **placed):
    """Read a drawing and ask for all that is in it; True if it could be read."""
    try:
        drawing = SvgDrawing.of_text(text, **placed)
    except MosaicError as told:
        assert str(told)[0].isupper() and str(told).endswith("."), told
        return False
    for name in drawing.lines:
        for ask in (drawing.guide, drawing.outline, drawing.data):
            try:
                ask(name)
            except MosaicError as told:
                assert str(told)[0].isupper() and str(told).endswith("."), told
    return True


@pytest.mark.parametrize("seed", range(30))
def test_spoilt_drawings_give_a_sentence_or_lines(seed):
    rng = np.random.default_rng(seed)
    signs = list("0123456789.-+eE MmLlHhVvCcSsQqTtAaZz,()<>\"'=/&;#\n\x00é")
    signs += ["NaN", "1e9", "inf", "rotate(", "<path d='"]
    read = 0
    for _ in range(30):
        text = GOOD
        for _ in range(int(rng.integers(1, 4))):
            at, cut = int(rng.integers(len(text))), int(rng.integers(0, 3))
            text = text[:at] + str(rng.choice(signs)) + text[at + cut :]
        read += used(text)
        used(text.encode("utf-8", "replace"), length=float(rng.uniform(1, 1000)), of=str(rng.choice(["width", "a"])))
    assert read > 0


@pytest.mark.parametrize("seed", range(30))
def test_data_of_random_signs_gives_a_sentence_or_lines(seed):
    rng = np.random.default_rng([7, seed])
    for _ in range(60):
        words = "".join(rng.choice(list("01234 56789.-+eE  MLHVCSQTAZmlhvcsqtaz,"), int(rng.integers(1, 40))))
        for data in (words, "M0 0" + words):
            used(svg(path(data)))
