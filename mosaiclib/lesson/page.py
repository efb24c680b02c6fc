"""A lesson on the page: controls, picture, report; and every control moved from end to end."""

__all__ = ["Lesson", "Parts", "Swept", "sweep"]

import html
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

import ipywidgets as w

from mosaiclib import units
from mosaiclib.errors import MosaicError
from mosaiclib.lesson.controls import Action, Control, Drag, shown
from mosaiclib.lesson.fields import LABEL, Field
from mosaiclib.lesson.handles import Handles
from mosaiclib.lesson.style import STYLE
from mosaiclib.report import Row, paragraph, plain_report, report_table

UNEXPECTED = "Something went wrong inside the workbook itself, not in what you typed. Set the last control back."


class Lesson(w.VBox):
    """A lesson on the page: controls on the left, picture on the right, results under them.

    Parameters
    ----------
    title : str
        Heading.
    settings : dataclass
        The settings at the start; each control is named after one of its fields.
    compute, draw, report, summary : callable
        From settings to a result; from that to a `drawing.Drawing`, to rows, and to the line of quantities.
    controls : sequence of Control
        In the order of the house.
    charts : dict, optional
        From the heading of a fold to a function from the result to an HTML picture shown in it.
    actions : sequence of Action
        Buttons under the controls, with one box for the name of a file.
    drag : Drag, optional
        Handles on the picture.
    live : bool
        Whether the picture follows a slider while it moves; not where a picture takes over 100 ms.
    """

    def __init__(
        self,
        title: str,
        *,
        settings: Any,
        compute: Callable[[Any], Any],
        draw: Callable[[Any], Any],
        report: Callable[[Any], Sequence[Row]],
        summary: Callable[[Any], str],
        controls: Sequence[Control],
        charts: Mapping[str, Callable[[Any], str]] | None = None,
        actions: Sequence[Action] = (),
        drag: Drag | None = None,
        live: bool = True,
    ) -> None:
        self.title, self.settings, self.charts = title, settings, dict(charts or {})
        self.compute, self.draw, self.report, self.summary = compute, draw, report, summary
        self.unit, self.result, self.said = "mm", None, ""
        self.message = w.HTML().add_class("mosaic-message")
        self.echo = w.HTML().add_class("mosaic-echo")  # the same sentence beside folds and buttons
        self.drag, self.seen = drag, None
        self.picture = Handles() if drag else w.HTML()
        self.picture.add_class("mosaic-picture")
        if drag:
            self.picture.observe(self._dragged, ["points", "moving"])
        self.table = w.HTML().add_class("mosaic-report")
        self.line = w.HTML().add_class("mosaic-summary")
        self.fields = {
            c.name: Field(replace(c, default=getattr(settings, c.name)), self._changed, self._refused) for c in controls
        }
        for field in self.fields.values():
            if field.slider is not None:
                field.slider.continuous_update = live
        self.panels: dict[str, w.HTML] = {}
        self.folds = self._folded()
        self.unit_switch = w.ToggleButtons(options=list(units.UNITS), description="Lengths in")
        self.unit_switch.style = {"description_width": LABEL, "button_width": "60px"}
        self.unit_switch.observe(lambda change: self._set_unit(change["new"]), "value")
        self.actions = self._action_bar(actions)
        super().__init__(self._page())
        self.add_class("mosaic-lesson")
        self.refresh()

    def _page(self) -> list[w.Widget]:
        """Return the page's parts in their places."""
        open_now = [f.view() for f in self.fields.values() if not f.control.fold]
        folded = [self.folds] if self.folds.children else []
        left = w.VBox([*open_now, self.unit_switch, *folded, *self.actions, self.echo]).add_class("mosaic-controls")
        top = w.HBox([left, self.picture], layout=w.Layout(flex_flow="row wrap"))
        heading = w.HTML(f"{STYLE}<h3>{html.escape(self.title)}</h3>")
        return [heading, self.message, top, self.line, self.table]

    def _folded(self) -> w.VBox:
        """Return the folded controls under their headings, all closed; the headings are buttons, for the keyboard."""
        heads = dict.fromkeys(f.control.fold for f in self.fields.values() if f.control.fold)
        parts: list[w.Widget] = []
        self.heads: dict[str, w.ToggleButton] = {}
        for head in heads:
            self.panels[head] = w.HTML()
            views = [f.view() for f in self.fields.values() if f.control.fold == head]
            body = w.VBox([*views, self.panels[head]], layout=w.Layout(display="none", padding="8px 4px"))
            button = w.ToggleButton(description=head, icon="caret-right", layout=w.Layout(width="100%", margin="2px 0"))
            button.add_class("mosaic-fold")
            button.observe(lambda change, head=head, body=body: self._fold(head, body, change["new"]), "value")
            self.heads[head] = button
            parts += [button, body]
        return w.VBox(parts)

    def _fold(self, head: str, body: w.VBox, wanted: bool) -> None:
        """Open or close a fold; one is open at a time."""
        self.heads[head].icon = "caret-down" if wanted else "caret-right"
        body.layout.display = "flex" if wanted else "none"
        for other, button in self.heads.items():
            if wanted and other != head:
                button.value = False
        self._draw_charts()

    def _action_bar(self, actions: Sequence[Action]) -> list[w.Widget]:
        """Return the buttons of the actions, and the one box that they read."""
        box = w.Text(value=actions[0].default if actions else "", style={"description_width": LABEL})
        self.box, self.buttons = box, {}
        for action in actions:
            button = w.Button(description=action.label, layout=w.Layout(width="auto"))
            button.on_click(lambda _, action=action: self._run(action, box.value))
            self.buttons[action.name] = button
        box.description = next((action.box for action in actions if action.box), "")
        bar = w.HBox(list(self.buttons.values()), layout=w.Layout(flex_flow="row wrap"))
        return [box, bar] if box.description else [bar] if actions else []

    def _run(self, action: Action, text: str) -> None:
        if self.wrong and action.name != "load":
            self._say(self.wrong)
            return
        try:
            done = action.run(self.settings, text)
        except MosaicError as wrong:
            self._say(wrong)
            return
        if isinstance(done, tuple):
            self.set(done[0])
            done = done[1]
        self._say(done)

    def _changed(self, field: Field) -> None:
        name = field.control.name
        self.settings = replace(self.settings, **{name: field.value})
        self.refresh()

    def _place_handles(self, drawing: Any) -> None:
        """Tell the picture where the handles are; one that is held stays under the hand."""
        self.picture.unit, self.picture.width, self.picture.height = self.unit, drawing.width, drawing.height
        self.picture.left, self.picture.low = drawing.origin
        if not self.picture.moving:
            points = [[float(x), float(y)] for x, y in self.drag.points(self.result)]
            self.seen = (points, False)
            self.picture.points = points

    def _dragged(self, _: Any) -> None:
        """Follow a handle; points and their being held come as one message but are told one by one."""
        points, moving = self.picture.points, self.picture.moving
        if (points, moving) == self.seen:
            return
        points, said = self.picture.held(points, self.seen[0])
        self.seen = (points, moving)
        settings = self.drag.moved(self.result, points, moving)
        for name, field in self.fields.items():
            if getattr(settings, name) != field.value:
                field.put(getattr(settings, name))
        self.settings = settings
        self.refresh()
        if said and not self.said:
            self._say(said)

    def _set_unit(self, unit: str) -> None:
        self.unit = unit
        for field in self.fields.values():
            field.set_unit(unit)
        self._show()
        self._say(self.said)

    def _say(self, said: object) -> None:
        """Show a sentence, or an error with its lengths in the unit of the page."""
        self.said = said
        words = units.told(said, self.unit)
        self.message.value = paragraph(words)
        self.echo.value = f"<p>{html.escape(words)}</p>" if words else ""

    def _refused(self, words: MosaicError) -> None:
        """Tell that what was typed cannot be used; the last picture stays, but pale."""
        self.picture.add_class("mosaic-stale")
        self._say(words)

    @property
    def wrong(self) -> MosaicError | str:
        """What is still the matter with a box, empty where all are in order."""
        return next((field.wrong for field in self.fields.values() if field.wrong), "")

    def set(self, settings: Any) -> None:
        """Show other settings, as after loading a file."""
        for name, field in self.fields.items():
            field.put(getattr(settings, name))
        self.settings = settings
        self.refresh()

    def refresh(self) -> None:
        """Compute and show everything anew; an expected error becomes a sentence, the last picture stays."""
        try:
            self.result = self.compute(self.settings)
            self.picture.remove_class("mosaic-stale")
            self._show()
            self._say(self.wrong)
            if self.wrong:
                self.picture.add_class("mosaic-stale")
        except MosaicError as wrong:
            # the last picture stays, but pale, so that it is not taken for the new one
            self.picture.add_class("mosaic-stale")
            self._say(wrong)
        except Exception:
            self._say(UNEXPECTED)
            raise

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
        if self.drag and self.picture.moving:
            return  # the picture must follow the hand; the report follows when it is let go
        self.table.value = report_table(self.report(self.result), self.unit)
        self._draw_charts()

    def _draw_charts(self) -> None:
        """Draw the chart of the fold that is open, so that closed ones cost nothing."""
        from mosaiclib.drawing import to_svg

        for head in self.panels:
            drawn = self.heads[head].value and head in self.charts and self.result is not None
            self.panels[head].value = to_svg(replace(self.charts[head](self.result), unit=self.unit)) if drawn else ""

    def text(self) -> str:
        """Return settings and report as plain text, for readers and for checks."""
        shown_now = [f"{f.label}: {shown(f.control, f.value, f.unit)}" for f in self.fields.values()]
        if self.result is None:
            return "\n".join([self.title, *shown_now])
        told = plain_report(self.report(self.result), self.unit)
        return "\n".join([self.title, *shown_now, "", self.summary(self.result), *told])

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add plain words and a picture, for a reader who has not run anything."""
        found = super()._repr_mimebundle_(**kwargs)
        bundle = found[0] if isinstance(found, tuple) else found
        bundle["text/plain"] = self.text()
        if self.result is not None:
            from mosaiclib.drawing import to_png

            bundle["image/png"] = to_png(self.draw(self.result), width_px=900)
        return found


class Parts(w.VBox):
    """Lessons of one workbook, one open at a time.

    Parameters
    ----------
    parts : dict
        From the words on a button to a function that makes the lesson; the first is open.
    """

    def __init__(self, parts: Mapping[str, Callable[[], Lesson]]) -> None:
        self.parts, self.made = dict(parts), {}
        self.switch = w.ToggleButtons(options=list(self.parts), tooltips=list(self.parts))
        self.switch.style = {"button_width": "auto"}
        self.place = w.VBox()
        self.switch.observe(lambda change: self.turn_to(change["new"]), "value")
        super().__init__([self.switch, self.place])
        self.turn_to(self.switch.value)

    def turn_to(self, name: str) -> Lesson:
        """Open a part; it is made when it is first opened, and kept."""
        if name not in self.made:
            self.made[name] = self.parts[name]()
        self.place.children = [self.made[name]]
        return self.made[name]

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add the words and the picture of the first part."""
        found = super()._repr_mimebundle_(**kwargs)
        bundle = found[0] if isinstance(found, tuple) else found
        first = self.turn_to(next(iter(self.parts)))._repr_mimebundle_(**kwargs)
        inner = first[0] if isinstance(first, tuple) else first
        bundle |= {kind: inner[kind] for kind in ("text/plain", "image/png")}
        return found


class Swept(NamedTuple):
    """One move of a sweep: which control, to what value, and the sentence that was shown, if any."""

    name: str
    value: Any
    words: str


def sweep(lesson: Lesson) -> list[Swept]:
    """Move every control of a lesson to its least, greatest and a middle value, and back.

    Parameters
    ----------
    lesson : Lesson
        A lesson that is not shown.

    Returns
    -------
    list of Swept
        One a move. An error that is not for the learner is raised.
    """
    moves = []
    for name, field in lesson.fields.items():
        start = field.value
        for value in field.control.ends:
            field.accept(value)
            moves.append(Swept(name, value, lesson.message.value))
        field.put(start)
        lesson.settings = replace(lesson.settings, **{name: start})
    lesson.refresh()
    return moves
