"""What stands on the page: a lesson, and the parts of a workbook."""

__all__ = ["FOLDER", "NOT_KEPT", "Lesson", "Parts", "with_forms"]

import atexit
import html
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import ipywidgets as w
from ipywidgets.widgets.widget_bool import ToggleButtonStyle

from mosaiclib import units
from mosaiclib.errors import MosaicError
from mosaiclib.lesson.controls import Action, Listed, Shown, Written
from mosaiclib.lesson.fields import LABEL, Field, field_of, plain_button, plain_words, shared, standing
from mosaiclib.lesson.handles import Handles
from mosaiclib.lesson.handout import Paper, part_on_paper
from mosaiclib.lesson.kept import LEARNER, History, Kept, Rest, after, packed, unpacked
from mosaiclib.lesson.style import STYLE
from mosaiclib.report import links, paragraph, plain_report, report_table

FOLDER = "my_plans"  # beside the workbooks; what a lesson writes goes there
OPENING = '<p role="status">This part is opening. It takes a few seconds.</p>'
NOT_KEPT = Kept(None)
AGAIN = "What you set here on {} is here again. Press Start afresh to see the lesson as it begins."
UNREADABLE = "What was kept here cannot be shown any more, so the lesson begins afresh."
WAITS, AGAIN_IN = 20, 0.2  # how often, and after how many seconds, it is looked whether a handle is held still
SYSTEMS = ["millimetres and degrees Celsius", "inches and degrees Fahrenheit"]
HEAD = {"width": "100%", "margin": "2px 0"}  # of a fold
STEPS = ((-1, "Undo", "undo"), (1, "Redo", "repeat"))  # words and icon of the steps back and on
IN_CLASS = "Ask your teacher for it: it lies in the folder {} of the class."
UNEXPECTED = "Something went wrong inside the workbook itself, not in what you typed. Undo your last change."


class Lesson(w.VBox):
    """A lesson on the page: controls on the left; headline, sentence and picture on the right; the table under them.

    The module that describes it has TITLE, Settings, CONTROLS, `compute` (from settings to a result) and `draw`,
    `report` and `summary` (from that to a drawing, rows and the line of quantities). It may have `start`, where settings
    do not start as Settings() does; CHARTS, from the heading of a fold to what makes an HTML picture of the result;
    DRAG; `actions`, of the folder that is written into; LIVE, false where a picture takes over 100 ms, too long to
    follow a slider while it moves; `follow`, from the settings before and after a change to what else it changes;
    `tapped`, from a result and the number of a piece that was tapped to another result and a sentence; `lists`, of the folder that is
    written into; and `keeper`, of it too: what keeps a result beside what every lesson keeps, told from which settings a step
    back or on led to it.
    Parts of a workbook with one `compute` are views of the same settings.
    """

    @classmethod
    def of(cls, module: Any, folder: Path | None = None, **changes: Any) -> "Lesson":
        """Return the lesson that a module describes, with some settings changed; it writes into my_plans in `folder`."""
        settings = replace(getattr(module, "start", module.Settings)(), **changes)
        return cls(module, settings, (folder or Path.cwd()) / FOLDER)

    @classmethod
    def again(cls, module: Any, folder: Path | None = None, beside: "Lesson | None" = None) -> "Lesson":
        """Return the lesson as it was left, and keep what is set from now on; it goes on from another view of the same."""
        kept = Kept.of(module.compute.__module__.rpartition(".")[2])
        if beside is not None and beside.compute is not module.compute:
            beside = None
        first = beside.first if beside else getattr(module, "start", module.Settings)()
        lesson = cls(module, first, (folder or Path.cwd()) / FOLDER, beside, kept)
        atexit.register(lesson.leave)
        return lesson

    def __init__(
        self, module: Any, settings: Any, folder: Path, beside: "Lesson | None" = None, kept: Kept = NOT_KEPT
    ) -> None:
        self.title, self.settings, self.first = module.TITLE, settings, settings
        self.noted = settings  # what was kept last
        self.kept, self.history, self.rest = kept, History(settings), Rest(self._at_rest)
        self.compute, self.draw, self.report, self.summary = module.compute, module.draw, module.report, module.summary
        self.charts, self.drag = getattr(module, "CHARTS", {}), getattr(module, "DRAG", None)
        self.follow = getattr(module, "follow", lambda _, after: after)
        self.tapped = getattr(module, "tapped", None)
        self.unit, self.result, self.said = "mm", None, ""
        self.whole: Any = None  # the last result that did not come while a handle was held
        self.failed: MosaicError | str = ""  # why there is no result for what is set
        self.tried = False  # whether anything was ever set here
        self.message = plain_words("", "mosaic-message")
        self.seen: Any = None  # the handles as last followed, and whether one was held
        self.begun: Any = None  # the handles as a drag began
        self.picture = self._framed()
        self.table = plain_words("", "mosaic-report")
        self.line = plain_words("", "mosaic-summary")
        told = (self._changed, self.say, getattr(module, "LIVE", True))
        self.fields = {c.name: field_of(c, getattr(settings, c.name), *told) for c in module.CONTROLS}
        for field in self.fields.values():
            field.follow(settings)
        self.keeper = module.keeper(folder) if hasattr(module, "keeper") else lambda *_: ""
        self.stepped: Any = None  # the settings that a step back or on led away from, while it is made
        self.folds = self._folded(module.lists(folder) if hasattr(module, "lists") else ())
        style = {"description_width": LABEL, "button_width": "60px"}
        self.unit_switch = w.ToggleButtons(
            options=[*units.UNITS], tooltips=SYSTEMS, description="Lengths in", style=style
        )
        self.unit_switch.observe(lambda change: self._set_unit(change["new"]), "value")
        self.actions = self._action_bar(module.actions(folder) if hasattr(module, "actions") else ())
        super().__init__(self._page())
        self.add_class("mosaic-lesson")
        if self.drag or self.tapped:
            self.add_class("mosaic-dragged")  # a sentence stands under its picture
        self._begin(beside, kept.read() if beside is None else None)

    def _begin(self, beside: "Lesson | None", found: tuple[Any, str] | None) -> None:
        """Show what another view of the same shows, or what was kept, or else the lesson as it begins."""
        if beside is not None:
            self._follow()
            self.go_on(beside)
        elif found:
            self.take_up(*found)
        else:
            self.refresh()

    def _framed(self) -> w.Widget:
        """Return the place of the picture, which tells what is dragged or tapped in it."""
        picture = (Handles() if self.drag or self.tapped else plain_words()).add_class("mosaic-picture")
        if self.drag:
            picture.most = self.drag.most
            picture.observe(self._dragged, ["points", "moving"])
        if self.tapped:
            picture.observe(lambda change: self._tap(change["new"][0]), "tapped")
        return picture

    def _page(self) -> list[w.Widget]:
        """Return the page's parts in their places."""
        open_now = [f.view for f in self.fields.values() if not f.control.fold]
        folded = [self.folds] if self.folds.children else []
        below = [self.unit_switch, self._steps()]
        left = w.VBox([*open_now, *below, *folded, *self.actions]).add_class("mosaic-controls")
        seen = w.VBox([self.line, self.message, self.picture]).add_class("mosaic-seen")
        top = w.HBox([left, seen]).add_class("mosaic-top")
        heading = plain_words(f"{STYLE}<h3>{html.escape(self.title)}</h3>", "mosaic-heading")
        return [heading, top, self.table, Paper(self.on_paper)]

    def _steps(self) -> w.HBox:
        """Return the buttons that go back and on."""
        self.steps = {by: plain_button(words, icon=icon, disabled=True) for by, words, icon in STEPS}
        for by, button in self.steps.items():
            button.add_class("mosaic-undo" if by < 0 else "mosaic-redo")
            button.on_click(lambda _, by=by: self.step(by))
        afresh = plain_button("Start afresh")
        afresh.on_click(lambda _: self.begin_afresh())
        return w.HBox([*self.steps.values(), afresh])

    def step(self, by: int) -> None:
        """Show what was set one step back (-1), or one on (1)."""
        self.rest.now()
        self.stepped = self.settings
        self.set(self.history.step(by))
        self.rest.now()
        self.stepped = None

    def begin_afresh(self) -> None:
        """Show the lesson as it begins; what was set is one step back."""
        self.rest.now()
        self.set(self.first)

    def take_up(self, stored: Any, when: str) -> None:
        """Show what was kept; where that cannot be, the lesson as it begins."""
        try:
            self.unit_switch.value = stored["unit"]
            self.tried = bool(stored.get("tried"))
            kept = unpacked(self.first, stored["settings"])
            self.set(kept)
            if self.result is None:  # it cannot be drawn: beside its sentence stands the picture as the lesson begins
                self.set(self.first)
                self.set(kept)
            self.rest.now()
            self.say(AGAIN.format(when) if self.settings != self.first and not self.said else self.said)
        except Exception:  # whatever another version or a broken disk left there
            self.set(self.first)
            self.say(UNREADABLE)

    @property
    def held(self) -> bool:
        """Whether a handle is held, as far as the browser has told."""
        return bool(self.seen and self.seen[1])

    def _at_rest(self) -> None:
        """Keep what is set, and note it as a step; a handle that is held still is none yet."""
        if self.held:
            return
        self.history.add(self.settings)
        self._steps_there()
        wrong = self.keep()
        if wrong:
            self.say(wrong)

    def _steps_there(self) -> None:
        for by, button in self.steps.items():
            button.disabled = not self.history.can(by)

    def keep(self) -> str:
        """Keep what is set, and return a sentence where that cannot be, or where something else had to be put aside."""
        self.tried |= self.settings != self.first
        self.noted = self.settings
        wrong = self.kept.write({"unit": self.unit, "settings": packed(self.settings), "tried": self.tried})
        if (
            wrong
            or self.kept is NOT_KEPT
            or self.kept.path is None
            or self.settings == self.first
            or self.result is None
        ):
            return wrong
        try:
            return self.keeper(self.result, self.stepped) if self.result.settings is self.settings else ""
        except MosaicError as wrong:
            return str(wrong)

    def leave(self) -> None:
        """Keep what is set, as where the page is left within a second of it, or while its picture is still worked out."""
        if self.rest.waiting or self.settings is not self.noted:
            self.keep()

    def _folded(self, lists: Sequence[Listed]) -> w.VBox:
        """Return the folded controls and lists under their headings, all closed; the headings are buttons, for the keyboard."""
        self.heads: dict[str, w.ToggleButton] = {}
        self.lists = {listed.heading: (listed, w.VBox()) for listed in lists}
        heads = [*dict.fromkeys(f.control.fold for f in self.fields.values() if f.control.fold)]
        self.panels = {head: plain_words() for head in heads if head in self.charts}
        return w.VBox([one for head in (*heads, *self.lists) for one in self._under(head)])

    def _under(self, head: str) -> list[w.Widget]:
        """Return a heading and what it opens and closes, which is made when it is first opened."""
        body = w.VBox(layout=standing(False))
        look = {"layout": standing(True, **HEAD), "style": shared(ToggleButtonStyle), "_dom_classes": ["mosaic-fold"]}
        button = w.ToggleButton(description=head, tooltip=head, icon="caret-right", **look)
        button.observe(lambda change: self._fold(head, body, change["new"]), "value")
        self.heads[head] = button
        return [button, body]

    def _inside(self, head: str) -> list[w.Widget]:
        """Return what stands under a heading."""
        views = [field.view for field in self.fields.values() if field.control.fold == head]
        more = [self.panels.get(head), self.lists.get(head, (None, None))[1]]
        return [*views, *filter(None, more)]

    def _see(self) -> None:
        """Make the controls that are seen, in folds that are open or outside of any."""
        for field in self.fields.values():
            if not field.control.fold or self.heads[field.control.fold].value:
                field.see()

    def _list(self, head: str) -> None:
        """Show what there is to choose from."""
        listed, place = self.lists[head]
        shown = [self._card(listed, one) for one in listed.things(self.settings)]
        place.children = shown or [plain_words(paragraph(listed.none))]

    def _card(self, listed: Listed, one: Shown) -> w.Widget:
        """Return one thing of a list: its picture, and the button that opens it."""
        button = w.Button(description=one.words, layout=w.Layout(width="auto", flex="1 1 auto"))
        button.on_click(lambda _: self._open(listed, one))
        return w.HBox([plain_words(one.picture, "mosaic-card"), button])

    def _open(self, listed: Listed, one: Shown) -> None:
        self.rest.now()
        try:
            settings, said = listed.run(self.settings, one.thing)
        except MosaicError as wrong:
            self.say(wrong)
            return
        self.set(settings)
        self.rest.now()
        self.say(said)

    def _fold(self, head: str, body: w.VBox, wanted: bool) -> None:
        """Open or close a fold; one is open at a time."""
        self.heads[head].icon = "caret-down" if wanted else "caret-right"
        if wanted and head in self.lists:
            self._list(head)
        if wanted:
            self._see()
            body.children = body.children or self._inside(head)
        body.layout = standing(wanted, padding="8px 4px")
        for other, button in self.heads.items():
            if wanted and other != head:
                button.value = False
        self._draw_charts()

    def _action_bar(self, actions: Sequence[Action]) -> list[w.Widget]:
        """Return the buttons of the actions, and the one box that they read; in a class no file is taken from a tablet."""
        actions = [action for action in actions if not (action.accept and _in_class())]
        self.box = box = w.Text(
            value=next((action.start for action in actions if action.box), ""), style={"description_width": LABEL}
        )
        self.buttons: dict[str, w.Button] = {}
        for action in actions:
            self.buttons[action.name] = self._chooser(action) if action.accept else self._button(action)
        box.description = next((action.box for action in actions if action.box), "")
        bar = w.HBox(list(self.buttons.values()), layout=w.Layout(flex_flow="row wrap"))
        return [box, bar] if box.description else [bar] if actions else []

    def _button(self, action: Action) -> w.Button:
        button = plain_button(action.label)
        button.on_click(lambda _: self._run(action, self.box.value))
        return button

    def _chooser(self, action: Action) -> w.FileUpload:
        """Return a button that lets a file be chosen, which goes no further than this computer's own server."""
        wide = w.Layout(width="auto")
        button = w.FileUpload(accept=action.accept, description=action.label, tooltip=action.label, layout=wide)
        button.add_class("mosaic-chooser")
        button.observe(lambda change: change["new"] and self._taken(action, button), "value")
        return button

    def _taken(self, action: Action, button: w.FileUpload) -> None:
        """Take the file that was chosen, and be ready for the next, which may be the same one changed."""
        (file,) = button.value
        button.value = ()
        self._run(action, file)

    def _run(self, action: Action, given: Any) -> None:
        if self.wrong and not action.fresh:
            self.say(self.wrong)
            return
        self.rest.now()  # what was here is a step of its own
        try:
            done = action.run(self.settings, given, *[self.unit] * action.in_unit)
            if isinstance(done, Iterator):
                for done in done:  # noqa: B020 - what is told last stays
                    self.say(done)
        except MosaicError as wrong:
            self.say(wrong)
            return
        if isinstance(done, tuple) and not isinstance(done, Written):
            settings, done = done
            self.set(settings)
            self.rest.now()
        self.say(done)

    def _changed(self, field: Field) -> None:
        before, name = self.settings, field.control.name
        try:
            after = replace(before, **{name: field.value})
            settings = self.follow(before, after)
        except MosaicError as wrong:  # what follows cannot be while something else is amiss
            field.put(getattr(before, name))
            self.say(wrong)
            return
        if settings is after:
            self.settings = settings
            self.refresh()
        else:
            self.set(settings)

    def _place_handles(self, drawing: Any) -> None:
        """Tell the picture where the handles are; one that is held stays under the hand."""
        self.picture.unit, self.picture.width, self.picture.height = self.unit, drawing.width, drawing.height
        self.picture.left, self.picture.low = drawing.origin
        if not self.picture.moving:
            points = [[float(x), float(y)] for x, y in self.drag.points(self.result)]
            self.seen = (points, False)
            self.picture.points = points
            self.picture.between = [[float(x), float(y)] for x, y in self.drag.between(self.result)]

    def _dragged(self, _: Any) -> None:
        """Follow a handle; points and their being held come as one message but are told one by one.

        What was set before a drag is a step of its own, and so is each drag, handle added or handle taken away.
        """
        points, moving = self.picture.points, self.picture.moving
        if (points, moving) == self.seen:
            return
        before, held = self.seen
        alone = moving or held or len(points) != len(before)
        if alone and not held:
            self.rest.now()
        points, said = self.picture.held(points, before)
        self.seen, self.begun = (points, moving), self.begun if held else before
        settings = self.drag.moved(self.result, self._as_they_are(points), moving)
        for name, field in self.fields.items():
            if getattr(settings, name) != field.value:
                field.put(getattr(settings, name))
        self.settings = settings
        self.refresh()
        if alone and not moving:
            self.rest.now()
        if said and not self.said:
            self.say(said)

    def _as_they_are(self, points: list) -> list:
        """Return the handles as they lie, where the page shows those that are not held as they lay when the drag began."""
        if len(points) != len(self.begun):
            return points
        now = [[float(x), float(y)] for x, y in self.drag.points(self.result)]
        return [one if one != old else new for one, old, new in zip(points, self.begun, now, strict=True)]

    def _tap(self, number: int) -> None:
        """Do what a tap on a piece does here."""
        if self.wrong or self.result is None or not number:
            return
        self.rest.now()
        try:
            result, said = self.tapped(self.result, number)
        except MosaicError as wrong:
            self.say(wrong)
            return
        if result is not self.result:
            self._put(result.settings)
            self.result = self.whole = result
            self._follow()
            self._show()
            self.rest.later()
            self.rest.now()
        self.say(said)

    def _set_unit(self, unit: str) -> None:
        self.unit = unit
        for field in self.fields.values():
            field.set_unit(unit)
        self._show()
        self.say(self.said)
        self.rest.later()

    def say(self, said: object) -> None:
        """Show a sentence, or an error with its lengths in the unit of the page; pale is what a box does not say."""
        self.said = said
        words, files = said if isinstance(said, Written) else (said, ())
        given = paragraph(IN_CLASS.format(_in_class())) if files and _in_class() else links(files)
        self.message.value = paragraph(units.told(words, self.unit)) + given
        if self.wrong:
            self._pale(True)

    def _pale(self, pale: bool, *, picture: bool | None = None) -> None:
        """Show whether numbers and picture are old ones, so that they are not taken for what the boxes say."""
        for shown in (self.picture, self.line, self.table):
            old = picture if shown is self.picture and picture is not None else pale
            (shown.add_class if old else shown.remove_class)("mosaic-stale")

    @property
    def wrong(self) -> MosaicError | str:
        """What is still the matter with a box, empty where all are in order."""
        return next((field.wrong for field in self.fields.values() if field.wrong), "")

    def set(self, settings: Any) -> None:
        """Show other settings, as after loading a file."""
        self._put(settings)
        self.refresh()

    def _put(self, settings: Any) -> None:
        for name, field in self.fields.items():
            field.put(getattr(settings, name))
        self.settings = settings

    def _follow(self) -> None:
        """Show the controls that mean something now, and the headings that have any."""
        for field in self.fields.values():
            field.follow(self.settings)
        for head, button in self.heads.items():
            there = head in self.lists or any(f.control.fold == head and not f.hidden for f in self.fields.values())
            button.layout = standing(there, **HEAD)
        self._see()

    def _tell(self) -> None:
        """Say what is still the matter: with a box, with the result, or with a part of it that could not be had."""
        amiss = getattr(self.result, "amiss", "")
        self._pale(bool(self.failed or amiss), picture=bool(self.failed))
        self.say(self.wrong or self.failed or amiss)

    def go_on(self, other: "Lesson") -> None:
        """Show what another view of the same settings shows, with its steps back."""
        if (self.result, self.settings, self.unit) == (other.result, other.settings, other.unit):
            return
        other.rest.now()
        self.unit_switch.value = other.unit
        self._put(other.settings)
        self.noted, other.noted = other.noted, other.settings  # from now on this one keeps it
        self.result, self.failed, self.history = other.result, other.failed, other.history
        self.whole = other.whole
        self._follow()
        self._show()
        self._tell()
        self._steps_there()

    def refresh(self) -> None:
        """Compute and show everything anew; an expected error becomes a sentence, the last picture stays."""
        self._follow()
        try:
            self.result, self.failed = self.compute(self.settings), ""
            if not self.held:
                self.whole = self.result
            self._show()
            self._tell()
        except MosaicError as wrong:
            self.failed = wrong
            if not self.held:  # what came while a handle was held is not all that other parts tell
                self.result = self.whole
            self._tell()
        except Exception:
            self.say(UNEXPECTED)
            raise
        finally:
            self.rest.later()

    def _show(self) -> None:
        if self.result is None:
            return
        from mosaiclib.drawing import to_svg

        drawing = replace(self.draw(self.result), unit=self.unit)
        if self.drag:
            with self.picture.hold_sync():  # one message: a picture and handles of another would not meet
                self.picture.value = to_svg(drawing)
                self._place_handles(drawing)
        else:
            self.picture.value = to_svg(drawing)
        self.line.value = paragraph(units.told(self.summary(self.result), self.unit))
        if self.held:
            return  # the picture must follow the hand; the report follows when it is let go
        self.table.value = report_table(self.report(self.result), self.unit)
        self._draw_charts()

    def _draw_charts(self) -> None:
        """Draw the chart of the fold that is open, so that closed ones cost nothing."""
        from mosaiclib.drawing import to_svg

        for head, panel in self.panels.items():
            drawn = self.heads[head].value and self.result is not None
            panel.value = to_svg(replace(self.charts[head](self.result), unit=self.unit)) if drawn else ""

    def on_paper(self) -> str:
        """Return the lesson as it is set, for a handout: what is open or was changed, the picture, headline and table."""
        fields = (f for name, f in self.fields.items() if not f.control.fold or f.value != getattr(self.first, name))
        charts = "".join(panel.value for panel in self.panels.values())
        parts = (self.picture.value, self.line.value, self.message.value, self.table.value, charts)
        return part_on_paper(self.title, [(f.control.label, f.told) for f in fields], parts)

    def text(self) -> str:
        """Return settings and report as plain text, for readers and for checks."""
        shown = [f"{f.label}: {f.control.shown(f.value, f.unit)}" for f in self.fields.values()]
        if self.result is None:
            return "\n".join([self.title, *shown])
        summary = units.told(self.summary(self.result), self.unit)
        return "\n".join([self.title, *shown, "", summary, *plain_report(self.report(self.result), self.unit)])

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add plain words and, where a notebook may store it, a picture, for a reader who has not run anything."""
        more = {"text/plain": self.text()}
        if self.result is not None and not _on_page():
            from mosaiclib.drawing import to_png

            more["image/png"] = to_png(self.draw(self.result), width_px=900)
        return with_forms(super()._repr_mimebundle_(**kwargs), more)


def _in_class() -> str:
    """Return who sees the page where a class shares this computer, empty elsewhere."""
    return os.environ.get(LEARNER, "")


def _on_page() -> bool:
    """Tell whether this is shown as a plain page, which stores nothing; a picture for storing takes half a second there."""
    return os.environ.get("SERVER_SOFTWARE", "").startswith("voila")


def with_forms(found: Any, more: Mapping[str, Any]) -> Any:
    """Return the forms of a widget, with or without their metadata, and more forms."""
    (found[0] if isinstance(found, tuple) else found).update(more)
    return found


class Parts(w.VBox):
    """Lessons of one workbook, one open at a time: from the words on a button to what makes the lesson."""

    def __init__(self, parts: Mapping[str, Callable[[Lesson | None], Lesson]], kept: Kept = NOT_KEPT) -> None:
        self.parts, self.made, self.kept = dict(parts), {}, kept
        self.shown: Lesson | None = None  # the lesson that is open
        names = {"options": list(self.parts), "tooltips": list(self.parts)}
        self.switch = w.ToggleButtons(**names, style={"button_width": "auto"}).add_class("mosaic-parts")
        self.place = w.VBox()
        self.switch.observe(lambda change: self.turn_to(change["new"]), "value")
        super().__init__([self.switch, self.place, Paper(self.on_paper)])
        last = (kept.read() or ("", ""))[0]
        if last in self.parts:
            self.switch.value = last
        self.turn_to(self.switch.value)

    def turn_to(self, name: str, waits: int = WAITS) -> Lesson:
        """Open a part; it is made when it is first opened, and kept.

        The browser may tell later than the turning that a handle was let go just before: that is waited for.
        """
        if name != self.switch.value:
            return self.shown  # another was chosen meanwhile
        if name not in self.made:
            self.place.children = [plain_words(OPENING)]
        if self.shown is not None and self.shown.held:
            if waits and after(AGAIN_IN, lambda: self.turn_to(name, waits - 1)):
                return self.shown
            self.shown.picture.moving = False
        self.shown = self._part(name)
        self.place.children = [self.shown]
        self.kept.write(name)
        return self.shown

    def _part(self, name: str) -> Lesson:
        """Return a part as it is set, with what was set meanwhile on another view of the same."""
        if name not in self.made:
            self.made[name] = self.parts[name](self.shown)
        part = self.made[name]
        if self.shown not in (None, part) and part.compute is self.shown.compute:
            part.go_on(self.shown)
        return part

    def on_paper(self) -> str:
        """Return every part as it is set, for a handout."""
        return "".join(self._part(name).on_paper() for name in self.parts)

    def say(self, said: object) -> None:
        """Show a sentence in the lesson that is open."""
        self.shown.say(said)

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add the words and the picture of the part that is open."""
        first = self.shown._repr_mimebundle_(**kwargs)
        inner = first[0] if isinstance(first, tuple) else first
        return with_forms(
            super()._repr_mimebundle_(**kwargs),
            {kind: inner[kind] for kind in ("text/plain", "image/png") if kind in inner},
        )
