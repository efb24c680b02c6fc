"""Lesson 06, the piece: its glass, measured."""

__all__ = [
    "CONTROLS",
    "LIVE",
    "TITLE",
    "Settings",
    "actions",
    "compute",
    "draw",
    "follow",
    "keeper",
    "report",
    "start",
    "summary",
]

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from mosaiclib.errors import MosaicError, plain
from mosaiclib.files import numbered
from mosaiclib.job import Plan
from mosaiclib.job.overview import face_lines, note_lines, warning_lines
from mosaiclib.job.shelf import Shelf, Work
from mosaiclib.job.work import measure_all, within_reach
from mosaiclib.lesson.controls import Action, Listed, Shown, Written
from mosaiclib.lessons.w02_shared import drawing_in, left_words
from mosaiclib.lessons.w06_controls import GLASS_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import Result, compute, keeper, new_plan, running, shelf_in, start
from mosaiclib.lessons.w06_plan import in_the_round as draw
from mosaiclib.lessons.w06_settings import Settings, left_out, plan_of, settings_of
from mosaiclib.report import Row
from mosaiclib.units import mm, text
from mosaiclib.words import Text

TITLE, LIVE = "The piece", False
KEPT = ("name", "margin", "bands", "motifs", "meet", "background")  # of a piece of glass that gets another outline
MOST_DRAWN = 100_000  # pieces of a plan from elsewhere: a browser draws them in seconds


def report(result: Result) -> list[Row]:
    """Tell the grid of every face, and what the maker should know."""
    worked, left = result.worked, left_out(result.settings)
    own = [Row("Note", "", "", left)] if left else []
    return [*warning_lines(worked), *face_lines(worked), *own, *note_lines(worked)]


def summary(result: Result) -> Text:
    """Tell the size of the glass in the picture, round glass by its girth, and how many pieces cover it."""
    x0, y0, x1, y1 = result.layout.outline.bounds
    size = text(mm(x1 - x0, y1 - y0, between=" x "))
    round_ = [face for face in result.piece.glass.faces if face.edge] if result.worked else []
    if round_:
        up = round(sum(face.deep for face in round_), 1)
        size = text(mm(result.piece.glass.around), " round, ", mm(up), " up the glass")
    words = f", {len(result.layout)} pieces. "
    return text(f"{result.settings.glass_name}: ", size, words, running(result))


# --- pieces of glass ---------------------------------------------------------------------------------------


def _with(s: Settings, glass: list, piece: str) -> Settings:
    """Return the settings for a plan with other pieces of glass, one of them in the boxes."""
    plan = plan_of(s)
    return settings_of(plan.made(**plan.model_dump(mode="json") | {"glass": glass}), piece)


def _add(s: Settings, copied: bool) -> tuple[Settings, str]:
    """Add a piece of glass: like the one in the boxes, or a bare pane."""
    plan = plan_of(s)
    glass = [part.model_dump(mode="json") for part in plan.glass]
    names = [part["name"] for part in glass]
    like = s.glass_name.strip() if copied else ""
    bare = new_plan("pane").glass[0].model_dump(mode="json")
    fresh = next((one for one in glass if one["name"] == like), bare)
    name = next(name for name in numbered(fresh["name"]) if name not in names)
    return _with(s, [*glass, fresh | {"name": name}], name), f"{name} is a piece of its own now; its boxes are open."


def _trace(s: Settings, file: Mapping[str, Any]) -> tuple[Settings, str]:
    """Cut the piece of glass in the boxes to the largest closed line of an SVG file, as wide as it is now."""
    drawing, names = drawing_in(file, closed=True)
    plan, name = plan_of(s), s.glass_name.strip()
    place = next(at for at, part in enumerate(plan.glass) if part.name == name)
    wide = round(float(measure_all(plan)[place].inside_template(plan.glass[place].covers.face_names[0])[0]), 1)
    path = drawing.fitted(names[0], wide).data(names[0])
    glass = [part.model_dump(mode="json") for part in plan.glass]
    kept = {key: value for key, value in glass[place].items() if key in KEPT}
    glass[place] = kept | {"kind": "shaped pane", "shape": "own", "path": path, "width": wide}
    words = f"{names[0]} of {plain(file['name'])} is the outline of {name} now; its width says how large it is."
    return _with(s, glass, name), " ".join([words, *left_words(len(drawing.lines) - 1, drawing)])


def _remove(s: Settings) -> tuple[Settings, str]:
    """Take the piece of glass in the boxes out of the plan."""
    plan = plan_of(s)
    rest = [part.model_dump(mode="json") for part in plan.glass if part.name != s.glass_name.strip()]
    if not rest:
        raise MosaicError("A plan needs at least one piece of glass.")
    return _with(s, rest, rest[0]["name"]), f"{s.glass_name} is taken out of the plan. Undo brings it back."


# --- works that are kept -----------------------------------------------------------------------------------


def _begin(name: str, unit: str, shelf: Shelf) -> tuple[Settings, str]:
    """Begin a work with nothing of another in it, under a name that no kept one has."""
    plan = new_plan(_named(name), unit)
    if any(work.name == plan.name for work in shelf.works()):
        raise MosaicError(f"A work called {plan.name} is kept already: give this one another name, or open that one.")
    return settings_of(plan), f"{plan.name} is new: one bare pane. Undo brings back what was here."


def _rename(s: Settings, name: str, shelf: Shelf) -> tuple[Settings, str]:
    """Give the work another name, and what is kept of it too; a piece of glass called as the work was is so still."""
    before = plan_of(s)
    plan, piece = shelf.rename(before, _named(name)), s.glass_name.strip()
    named = piece == before.name and plan.name not in (part.name for part in plan.glass)
    found = settings_of(plan, piece, s.line)
    if named:
        found = follow(found, replace(found, glass_name=plan.name))
    return found, f"The work is called {plan.name} now."


def _named(name: str) -> str:
    if not any(sign.isalnum() for sign in name):
        raise MosaicError("Give the work a name with letters or digits.")
    return name.strip()


def _save(s: Settings, name: str, shelf: Shelf) -> str:
    return shelf.save(plan_of(s), name)


def _export(s: Settings, shelf: Shelf) -> Written:
    """Keep the plan as it is now, and give its file."""
    plan = plan_of(s)
    said = shelf.keep(plan)
    file = f"{shelf.folder.name}/{shelf.place(plan.name, '.json').name}"
    return Written(f"{said} {plan.name} is kept as {file}. Press the file's name to take it away.".lstrip(), (file,))


def _import(file: Mapping[str, Any], shelf: Shelf) -> tuple[Settings, str]:
    """Take the plan in a file, if all of it can be shown, under a name that no kept work has."""
    given = Plan.read(bytes(file["content"]), str(file["name"]))
    within_reach(given, measure_all(given), MOST_DRAWN)
    plan = shelf.beside(given)
    settings = compute(settings_of(plan)).settings
    other = f" Another work is called {given.name}." if plan.name != given.name else ""
    return settings, f"{plan.name} is here from {plain(file['name'])}.{other} Undo brings back what was here."


def _load(name: str, shelf: Shelf) -> tuple[Settings, str]:
    plan = shelf.load(name)
    return settings_of(plan), f"{plan.name} is loaded."


def _open(work: Work) -> tuple[Settings, str]:
    said = f"{work.name} is here as it was kept on {work.when}. Undo brings back what was here."
    return settings_of(Plan.load(work.path)), said


def _example() -> tuple[Settings, str]:
    return start(), "The example is here. It is invented. Undo brings back what was here."


def lists(folder: Path) -> tuple[Listed, ...]:
    """Return the lists of kept works and of the earlier states of this one."""
    shelf = shelf_in(folder)

    def shown(works: Sequence[Work]) -> list[Shown]:
        return [Shown(f"{work.name}, {work.when}", work.picture, work) for work in works]

    return (
        Listed("Kept works", "No work is kept yet.", lambda _: shown(shelf.works()), lambda _, work: _open(work)),
        Listed(
            "Earlier states of this work",
            "There is none yet; one a minute is put by while you work.",
            lambda s: shown(shelf.earlier(s.base)),
            lambda _, work: _open(work),
        ),
    )


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the buttons that begin, save and load a plan, and those for more pieces of glass."""
    shelf, box = shelf_in(folder), ("Name", "my piece")
    return (
        Action(
            "new", "Begin a new work", lambda _, name, unit: _begin(name, unit, shelf), *box, fresh=True, in_unit=True
        ),
        Action("save", "Save a copy", lambda s, name: _save(s, name, shelf), *box),
        Action("rename", "Rename it", lambda s, name: _rename(s, name, shelf), *box),
        Action("load", "Load a plan", lambda _, name: _load(name, shelf), *box, fresh=True),
        Action("export", "Export", lambda s, _: _export(s, shelf), *box),
        Action("import", "Import", lambda _, file: _import(file, shelf), accept=".json", fresh=True),
        Action("example", "The example", lambda _, __: _example(), *box, fresh=True),
        Action("add", "Add a pane", lambda s, _: _add(s, False), *box),
        Action("copy", "Copy this piece", lambda s, _: _add(s, True), *box),
        Action("trace", "Take an SVG outline", _trace, accept=".svg"),
        Action("remove", "Take this piece out", lambda s, _: _remove(s), *box),
    )
