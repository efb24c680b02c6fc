"""What somebody else printed about things that we compute: records, a module a subject; `CHECKS` has them all."""

from .colourings import CHECKS as COLOURINGS
from .cure import CHECKS as CURE
from .curves import CHECKS as CURVES
from .developments import CHECKS as DEVELOPMENTS
from .eyes import CHECKS as EYES
from .filler import CHECKS as FILLER
from .joints import CHECKS as JOINTS
from .light import CHECKS as LIGHT
from .measures import CHECKS as MEASURES
from .outlines import CHECKS as OUTLINES
from .records import Check
from .repetition import CHECKS as REPETITION
from .schedule import CHECKS as SCHEDULE
from .segments import CHECKS as SEGMENTS
from .spacers import CHECKS as SPACERS
from .svg_paths import CHECKS as SVG_PATHS
from .wedges import CHECKS as WEDGES

CHECKS: tuple[Check, ...] = (
    *MEASURES,
    *SEGMENTS,
    *OUTLINES,
    *DEVELOPMENTS,
    *JOINTS,
    *SPACERS,
    *WEDGES,
    *CURVES,
    *COLOURINGS,
    *LIGHT,
    *EYES,
    *REPETITION,
    *SVG_PATHS,
    *CURE,
    *FILLER,
    *SCHEDULE,
)

# what the formulas of each room of mosaiclib are checked on
ROOMS = {
    "units": ["units of length", "units of temperature"],
    "glass": ["segments of circles", "outlines", "developments"],
    "layout": ["SVG paths", "wedges", "guides", "borders"],
    "spacing": ["joints", "coins", "sizes of tiles"],
    "colour": ["colourings", "colours", "agreement"],
    "adhesive": [
        *("vapour", "light", "difference of colours", "glass", "cover of the back", "what a bed holds"),
        *("what adhesives give off", "setting of clear epoxies", "hydration of cement"),
    ],
    "filler": [
        *("stiffness and strength", "shrinkage", "drying", "creep", "interfaces", "films", "warming"),
        *("classes", "sand", "hardening"),
    ],
    "drawing": ["paper", "contrast", "named colours", "other eyes"],
    "job": ["packs", "critical path"],
}
ROOM_OF = {subject: room for room, subjects in ROOMS.items() for subject in subjects}
