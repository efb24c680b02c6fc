"""Lesson 06: what else changes on the page with a setting."""

__all__ = ["SPAN", "along_path", "face_size", "follow", "scaled", "usual_line"]

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from mosaiclib.drawing.palette import WHITE, colour_word, known_tone
from mosaiclib.errors import MosaicError
from mosaiclib.glass import Face
from mosaiclib.job import Plan
from mosaiclib.job.drawn import BandPart, MotifPart
from mosaiclib.job.packs import PackPart
from mosaiclib.job.work import guide_on
from mosaiclib.lessons.w06_controls import (
    FROM_DRAWING,
    LINES,
    NO_LINE,
    OWN,
    goes_round,
    is_motif,
    line_titles,
    measures_of,
)
from mosaiclib.lessons.w06_settings import (
    Settings,
    bought_with,
    packs_told,
    packs_typed,
    part_drawn,
    plan_of,
    settings_of,
    view_kept,
    without_line,
)

ONCE_ROUND = ("straight", "wave")  # lines that close round a vessel
SPAN = 0.6  # how much of its face a ready-made line spans at first


def follow(before: Settings, after: Settings) -> Settings:
    """Return what else follows from a change: the boxes turn to another piece or line, and a ready-made line gets its measures."""
    view = view_kept(after)
    if after.piece != before.piece:
        return settings_of(plan_of(before), after.piece, **view)
    if after.glass_name != before.glass_name:
        return settings_of(plan_of(after), after.glass_name.strip(), after.line, **view)
    if after.line != before.line:
        return settings_of(plan_of(before), before.glass_name.strip(), after.line, **view)
    if after.shape != before.shape and after.line != NO_LINE:
        return _reshaped(before, after)
    if after.shape == FROM_DRAWING and after.traced != before.traced:
        fresh = along_path(before, dict(after.drawing)[after.traced])
        return replace(fresh, m_x=before.m_x, m_y=before.m_y, drawing=after.drawing, traced=after.traced)
    if after.shape == FROM_DRAWING:
        return _in_proportion(before, after)
    if bought_with(after) != bought_with(before):
        base = after.base.model_copy(update={"packs": [PackPart(**pack) for pack in packs_typed(before)]})
        return replace(after, base=base, packs=packs_told(base.packs, bought_with(after)))
    return _recoloured(before, after) if after.colours != before.colours else after


def _in_proportion(before: Settings, after: Settings) -> Settings:
    """Return the settings with all measures of a drawing in the proportion in which one of them was changed."""
    names = (f"m_{name}" for name in measures_of(FROM_DRAWING))
    name = next((name for name in names if getattr(before, name) != getattr(after, name)), None)
    if name and not getattr(before, name):
        raise MosaicError(f"The {name[2:]} of the drawing is 0, so a length says nothing about its size.")
    return scaled(before, getattr(after, name) / getattr(before, name)) if name else after


def scaled(s: Settings, ratio: float) -> Settings:
    """Return the settings with all measures of a drawing so many times as large."""
    return replace(s, **{f"m_{name}": round(ratio * getattr(s, f"m_{name}"), 3) for name in measures_of(FROM_DRAWING)})


def along_path(s: Settings, path: str) -> Settings:
    """Return the settings with the path of a drawing in place of the line in the boxes."""
    record, name = plan_of(s).model_dump(mode="json"), s.glass_name.strip()
    part = next(part for part in record["glass"] if part["name"] == name)
    listed, place = part["motifs" if is_motif(s.line) else "bands"], int(s.line.split()[1]) - 1
    listed[place] = without_line(listed[place]) | {"path": path}
    return settings_of(Plan.made(**record), name, s.line, **view_kept(s))


def _recoloured(before: Settings, after: Settings) -> Settings:
    """Return the settings after the table of colours was changed: colours that were renamed are so everywhere.

    They wait while the table cannot be used, as when two lines have one name on the way.
    """
    after = _toned(after, before)
    was, now = (tuple(line[0] for line in s.colours) for s in (before, after))
    was = before.names or was
    if len(was) != len(now):
        return replace(after, names=())
    renamed = {old: new for old, new in zip(was, now, strict=True) if old != new}
    if len({*map(colour_word, now)}) < len(now) or not all(now):
        return replace(after, names=was)
    try:
        base = _known(after.base, was)
        base = base.renamed_colours({old: new for old, new in renamed.items() if colour_word(old) in base.named})
    except MosaicError:  # a colour was taken out that something still names; `compute` says so
        return replace(after, names=was)
    rows = tuple((*row[:1], _swapped(row[1], renamed), *row[2:]) for row in after.band_rows)
    words = {name: _swapped(getattr(after, name), renamed) for name in ("motif_colours", "back_colours")}
    return replace(after, base=base, band_rows=rows, names=(), **words)


def _known(plan: Plan, names: Sequence[str]) -> Plan:
    """Return a plan whose list of colours has only those of these names; it is not checked."""
    words = {*map(colour_word, names)}
    listed = [colour for colour in plan.tile.colours if colour_word(colour.name) in words]
    return plan.model_copy(update={"tile": plan.tile.model_copy(update={"colours": listed})})


def _swapped(words: str, renamed: Mapping[str, str]) -> str:
    """Return a list of colours with some renamed."""
    known = {colour_word(old): new for old, new in renamed.items()}
    listed = (one.strip() for one in words.split(","))
    return ", ".join(known.get(colour_word(one), one) for one in listed if one)


def _toned(after: Settings, before: Settings) -> Settings:
    """Return the settings with the tone that a colour is known by where its name is new and no tone was chosen."""
    was = {line[0]: line[1] for line in before.colours}
    lines = tuple(
        (name, known_tone(name) or tone, *rest)
        if name not in was and tone in (*was.values(), WHITE)
        else (name, tone, *rest)
        for name, tone, *rest in after.colours
    )
    return replace(after, colours=lines)


def _reshaped(before: Settings, after: Settings) -> Settings:
    """Return the settings for a line that has become another: its own points along the line before, or the usual measures."""
    if after.shape == OWN:
        return replace(after, band_points=_points_along(before))
    return usual_line(after, placed=before.shape in (*LINES, FROM_DRAWING))


def usual_line(s: Settings, placed: bool = False) -> Settings:
    """Return the settings with the measures that a ready-made line has at first, by its face; one that is `placed` stays there."""
    wide, high = (SPAN * side for side in face_size(s))
    least = min(wide, high)
    usual = {"width": wide, "length": wide, "height": least / 2, "rise": min(high, wide / 2) / 2, "radius": least / 2}
    usual |= {"degrees": 180.0, "turns": 2.0, "waves": 2, "points": 5, "inner": 0.0}
    usual |= {
        "leaf": {"width": wide / 2.5},
        "heart": {"width": least, "height": least},
        "rounded rectangle": {"height": high, "radius": least / 6},
    }.get(s.shape, {})
    if goes_round(s) and s.shape in ONCE_ROUND:
        usual["length"] = wide / SPAN
    fresh = {f"m_{name}": _round(usual[name]) for name in measures_of(s.shape)}
    place = {} if placed else {"m_x": _round(wide / SPAN / 2), "m_y": _round(high / SPAN / 2), "m_turned": 0.0}
    return replace(s, **fresh, **place)


def _round(value: Any) -> Any:
    return round(value) if isinstance(value, int) else float(round(value))


def face_size(s: Settings) -> tuple[float, float]:
    """Return how wide and high the face is that the line in the boxes is on [mm]."""
    face = _face_in(
        plan_of(replace(s, line=NO_LINE)), s
    )  # the glass as it is typed, whatever its line is just becoming
    return face.span


def _face_in(plan: Plan, s: Settings) -> Face:
    part = next(part for part in plan.glass if part.name == s.glass_name.strip())
    glass = part.glass(plan.tile.tile, plan.adhesive.bed, plan.joint.wanted)
    return next((face for face in glass.faces if face.name == s.band_face), glass.faces[0])


def _points_along(s: Settings) -> tuple[tuple[float, float], ...]:
    """Return points along the line as it was, so that it can be drawn on by hand."""
    part = next(part for part in s.base.glass if part.name == s.piece)
    drawn = [one.model_dump(mode="json") for one in (*part.bands, *part.motifs)]
    kept = dict(zip(line_titles(part.bands, part.motifs), drawn, strict=True))
    made = MotifPart if is_motif(s.line) else BandPart
    one, plan = made.model_validate(part_drawn(s, kept.get(s.line, {}))), plan_of(replace(s, line=NO_LINE))
    face = _face_in(plan, s)
    guide = guide_on(face, one, plan.tile.tile, plan.joint.limits)
    at = np.linspace(0, guide.length * (1 - 1e-9), 9)[: -1 if guide.closed else None]
    points = face.as_drawn(guide.at(at))
    points = points * [-1, 1] + [face.span[0], 0] if one.behind else points
    return tuple((round(float(x), 1), round(float(y), 1)) for x, y in points)
