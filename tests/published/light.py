"""Light at glass, contrast of tones, difference of colours."""

from functools import partial

from coloraide import Color

from mosaiclib.adhesive import difference, reflectance
from mosaiclib.drawing.palette import alike, contrast, known_tone, mix

from .records import listed, turning

# L, a, b of both colours and the difference as printed
PAIRS = """
50 2.6772 -79.7751 50 0 -82.7485 2.0425
50 3.1571 -77.2803 50 0 -82.7485 2.8615
50 2.8361 -74.0200 50 0 -82.7485 3.4412
50 -1.3802 -84.2814 50 0 -82.7485 1.0000
50 -1.1848 -84.8006 50 0 -82.7485 1.0000
50 -0.9009 -85.5211 50 0 -82.7485 1.0000
50 0 0 50 -1 2 2.3669
50 -1 2 50 0 0 2.3669
50 2.4900 -0.0010 50 -2.4900 0.0009 7.1792
50 2.4900 -0.0010 50 -2.4900 0.0010 7.1792
50 2.4900 -0.0010 50 -2.4900 0.0011 7.2195
50 2.4900 -0.0010 50 -2.4900 0.0012 7.2195
50 -0.0010 2.4900 50 0.0009 -2.4900 4.8045
50 -0.0010 2.4900 50 0.0010 -2.4900 4.8045
50 -0.0010 2.4900 50 0.0011 -2.4900 4.7461
50 2.5 0 50 0 -2.5 4.3065
50 2.5 0 73 25 -18 27.1492
50 2.5 0 61 -5 29 22.8977
50 2.5 0 56 -27 -3 31.9030
50 2.5 0 58 24 15 19.4535
50 2.5 0 50 3.1736 0.5854 1.0000
50 2.5 0 50 3.2972 0 1.0000
50 2.5 0 50 1.8634 0.5757 1.0000
50 2.5 0 50 3.2592 0.3350 1.0000
60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
61.2901 3.7196 -5.3901 61.4292 2.2480 -4.9620 1.8731
35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
22.7233 20.0904 -46.6940 23.0331 14.9730 -42.5619 2.0373
36.4612 47.8580 18.3852 36.2715 50.5065 21.2231 1.4146
90.8027 -2.0831 1.4410 91.1528 -1.6435 0.0447 1.4441
90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
2.0776 0.0795 -1.1350 0.9033 -0.0636 -0.5514 0.9082
""".strip().splitlines()


def _pair(place: int, line: str) -> tuple:
    """Return a check of a line of the table."""
    *six, printed = line.split()
    one, two = [float(x) for x in six[:3]], [float(x) for x in six[3:]]
    return f"pair {place}", printed, partial(difference, one, two)


CIEDE2000 = listed(
    "difference of colours",
    "Sharma, Wu and Dalal, The CIEDE2000 color-difference formula, Color Res. Appl. 30 (2005) 21-30",
    "Table 1",
    "read second-hand",  # in test data of public repositories
    "",
    [_pair(place, line) for place, line in enumerate(PAIRS, 1)],
)
FRESNEL = (
    *listed(
        "light",
        "Hecht, Optics",
        "section on reflectance and transmittance, normal incidence",
        "from memory",
        "%",
        [("thrown back by glass of index 1.5 in air", "4", lambda: 100 * reflectance(1.0, 1.5))],
    ),
    *listed(
        "light",
        "physics problem on window glass",
        "normal incidence",
        "read second-hand",
        "%",
        [("thrown back by glass of index 1.52 in air", "4.26", lambda: 100 * reflectance(1.0, 1.52))],
    ),
)
CONTRAST = listed(
    "contrast",
    "Web Content Accessibility Guidelines 2.1",
    "contrast ratio, and greys that are quoted for it",
    "read second-hand",
    "to 1",
    [
        ("black on white", "21", lambda: contrast("#000000", "#ffffff")),
        ("#767676 on white", "4.54", lambda: contrast("#767676", "#ffffff")),
    ],
)
NAMES = listed(
    "named colours",
    "W3C, CSS Color Module Level 4",
    "section 6.1, named colors",
    "read second-hand",
    "",
    [
        (word, printed, partial(known_tone, word.upper()))
        for word, printed in (
            ("white", "#ffffff"),
            ("black", "#000000"),
            ("silver", "#c0c0c0"),
            ("gray", "#808080"),
            ("grey", "#808080"),
            ("purple", "#800080"),
            ("yellow", "#ffff00"),
            ("orange", "#ffa500"),
            ("brown", "#a52a2a"),
            ("gold", "#ffd700"),
            ("pink", "#ffc0cb"),
            ("burly wood", "#deb887"),
        )
    ],
)


def _told_up_to() -> float:
    """Return at which difference two greys are no longer told as too alike, in steps of the screen."""

    def told(share: float) -> bool:
        return bool(alike({"one": "#777777", "two": mix("#777777", "#ffffff", share)}))

    tone = mix("#777777", "#ffffff", turning(told, 0.0, 1.0))
    one, two = (Color(grey).convert("lab-d65").coords() for grey in ("#777777", tone))
    return difference(one, two)


TWO_COLOURS = listed(
    "difference of colours",
    "Mokrzycki and Tatol, Colour difference Delta E - a survey, Machine Graphics and Vision 20 (2011) 383-411",
    "scale of differences: over 5 one has the impression of two different colours",
    "read second-hand",
    "",
    [("two greys that are told as too alike", "5", _told_up_to)],
    within=0.4,  # half a step of #rrggbb
)
CHECKS = (*CIEDE2000, *FRESNEL, *CONTRAST, *NAMES, *TWO_COLOURS)
