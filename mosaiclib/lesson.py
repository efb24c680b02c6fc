"""The one way a lesson looks and behaves: controls, picture, report, questions. Imports ipywidgets."""

__all__ = ["Lesson", "Questions"]

import html
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

import ipywidgets as w

from mosaiclib import measures
from mosaiclib.control import Action, Control, Row, read, shown
from mosaiclib.errors import MosaicError
from mosaiclib.page import STYLE, paragraph, plain_report, report_table
from mosaiclib.question import Question

LABEL = "128px"
WIDTHS = (("270px", "96px"), ("222px", "144px"))  # of a slider and its box; two lengths need a wider box
UNEXPECTED = "Something went wrong inside the workbook itself, not in what you typed. Set the last control back."


class _Field:
    """One control on the page: a slider with a box, a list, a tick box, a table or a button."""

    def __init__(self, control: Control, changed: Callable[["_Field"], None], refused: Callable[[str], None]) -> None:
        self.control, self.changed, self.refused = control, changed, refused
        self.value, self.unit, self.quiet = control.default, "mm", False
        self.slider: w.IntSlider | None = None
        self.box = self._input()
        self.parts = (self.slider,) if self.slider else ()
        self.put(control.default)

    def _input(self) -> w.Widget:
        control, style = self.control, {"description_width": LABEL}
        label = self.label
        if control.slides:
            low, high = (round(end / control.step) for end in (control.low, control.high))
            kind = w.IntRangeSlider if control.kind == "range" else w.IntSlider
            slider = kind(min=low, max=high, readout=False, description=label, style=style)
            slider.layout, width = (w.Layout(width=width) for width in WIDTHS[control.kind == "range"])
            slider.observe(self._slid, "value")
            self.slider = slider
            return self._typed(w.Text(layout=width, continuous_update=False, tooltip=label))
        if control.kind == "choice":
            return self._typed(w.Dropdown(options=control.options, description=label, style=style))
        if control.kind == "switch":
            return self._typed(w.Checkbox(description=label, indent=False))
        if control.kind == "again":
            button = w.Button(description=label, layout=w.Layout(width="auto"))
            button.on_click(lambda _: self.accept(self.value + 1))
            return button
        if control.kind == "table":
            return _table(control, lambda: self.accept(_cells(self.box)))
        return self._typed(
            w.Text(description=label, style=style, continuous_update=False, layout=w.Layout(width="372px"))
        )

    def _typed(self, box: w.Widget) -> w.Widget:
        box.observe(lambda change: self.quiet or self.accept(change["new"]), "value")
        return box

    @property
    def label(self) -> str:
        unit = self.unit if self.control.unit == "mm" else self.control.unit
        return f"{self.control.label} [{unit}]" if unit else self.control.label

    def _slid(self, change: Mapping[str, Any]) -> None:
        if not self.quiet:
            self.accept(self.control.from_steps(change["new"]))

    def accept(self, typed: Any) -> None:
        """Take what was typed or slid; a sentence is shown where it cannot be."""
        try:
            value = read(self.control, typed, self.unit)
        except MosaicError as wrong:
            self.refused(str(wrong))
            return
        self.put(value)
        self.changed(self)

    def put(self, value: Any) -> None:
        """Show a value without telling anyone."""
        self.value, self.quiet = value, True
        if self.slider is not None:
            self.slider.value = self.control.to_steps(value)
            self.box.value = shown(self.control, value, self.unit)
        elif self.control.kind == "table":
            _fill(self.box, value)
        elif self.control.kind == "readings":
            self.box.value = shown(self.control, value, self.unit)
        elif self.control.kind != "again":
            self.box.value = value
        self.quiet = False

    def set_unit(self, unit: str) -> None:
        """Show lengths in another unit."""
        self.unit = unit
        if self.control.unit == "mm":
            (self.slider or self.box).description = self.label
            self.put(self.value)

    def view(self) -> w.Widget:
        """Return the control with its help line."""
        line = w.HBox([*self.parts, self.box]) if self.parts else self.box
        if not self.control.help:
            return line
        words = w.HTML(f"<div>{html.escape(self.control.help)}</div>").add_class("mosaic-help")
        return w.VBox([line, words])


def _table(control: Control, changed: Callable[[], None]) -> w.GridBox:
    """Return a table of boxes under its heads."""
    heads = [w.HTML(f"<b>{html.escape(head)}</b>") for head in control.options]
    width = w.Layout(width="auto")
    boxes = [w.Text(continuous_update=False, layout=width) for _ in range(control.rows * len(control.options))]
    columns = f"2fr repeat({len(control.options) - 1}, 1fr)"
    grid = w.GridBox(
        [*heads, *boxes], layout=w.Layout(grid_template_columns=columns, width="372px", grid_gap="2px 6px")
    )
    grid.columns, grid.quiet = len(heads), False
    for i, box in enumerate(boxes):
        box.tooltip = f"{control.options[i % len(heads)]}, line {i // len(heads) + 1}"
        box.observe(lambda _: grid.quiet or changed(), "value")
    return grid


def _cells(grid: w.GridBox) -> list[list[str]]:
    """Return what stands in a table, lines without any text left out."""
    cells = [box.value.strip() for box in grid.children[grid.columns :]]
    lines = [cells[i : i + grid.columns] for i in range(0, len(cells), grid.columns)]
    return [line for line in lines if any(line)]


def _fill(grid: w.GridBox, lines: Sequence[Sequence[str]]) -> None:
    """Write lines into a table without telling anyone."""
    flat = [cell for line in lines for cell in line]
    grid.quiet = True
    for i, box in enumerate(grid.children[grid.columns :]):
        box.value = flat[i] if i < len(flat) else ""
    grid.quiet = False


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
    ) -> None:
        self.title, self.settings, self.charts = title, settings, dict(charts or {})
        self.compute, self.draw, self.report, self.summary = compute, draw, report, summary
        self.unit, self.result = "mm", None
        self.message = w.HTML().add_class("mosaic-message")
        self.picture = w.HTML().add_class("mosaic-picture")
        self.table = w.HTML().add_class("mosaic-report")
        self.line = w.HTML().add_class("mosaic-summary")
        self.fields = {
            c.name: _Field(replace(c, default=getattr(settings, c.name)), self._changed, self._say) for c in controls
        }
        self.panels: dict[str, w.HTML] = {}
        self.folds = self._folded()
        self.unit_switch = w.ToggleButtons(options=list(measures.UNITS), description="Lengths in")
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
        left = w.VBox([*open_now, self.unit_switch, *folded, *self.actions]).add_class("mosaic-controls")
        top = w.HBox([left, self.picture], layout=w.Layout(flex_flow="row wrap"))
        heading = w.HTML(f"{STYLE}<h3>{html.escape(self.title)}</h3>")
        return [heading, self.message, top, self.line, self.table]

    def _folded(self) -> w.Accordion:
        """Return the folded controls under their headings, all closed."""
        heads = dict.fromkeys(f.control.fold for f in self.fields.values() if f.control.fold)
        bodies = []
        for head in heads:
            self.panels[head] = w.HTML()
            views = [f.view() for f in self.fields.values() if f.control.fold == head]
            bodies.append(w.VBox([*views, self.panels[head]]))
        fold = w.Accordion(bodies, titles=list(heads), selected_index=None)
        fold.observe(lambda _: self._draw_charts(), "selected_index")
        return fold

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
        try:
            done = action.run(self.settings, text)
        except MosaicError as wrong:
            self._say(str(wrong))
            return
        if isinstance(done, tuple):
            self.set(done[0])
            done = done[1]
        self._say(done)

    def _changed(self, field: _Field) -> None:
        name = field.control.name
        self.settings = replace(self.settings, **{name: field.value})
        self.refresh()

    def _set_unit(self, unit: str) -> None:
        self.unit = unit
        for field in self.fields.values():
            field.set_unit(unit)
        self._show()

    def _say(self, words: str) -> None:
        self.message.value = paragraph(words)

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
            self._say("")
        except MosaicError as wrong:
            # the last picture stays, but pale, so that it is not taken for the new one
            self.picture.add_class("mosaic-stale")
            self._say(str(wrong))
        except Exception:
            self._say(UNEXPECTED)
            raise

    def _show(self) -> None:
        if self.result is None:
            return
        from mosaiclib.drawing import to_svg

        self.picture.value = to_svg(self.draw(self.result))
        self.table.value = report_table(self.report(self.result), self.unit)
        self.line.value = paragraph(self.summary(self.result))
        self._draw_charts()

    def _draw_charts(self) -> None:
        """Draw the chart of the fold that is open, so that closed ones cost nothing."""
        at = self.folds.selected_index
        for i, head in enumerate(self.panels):
            drawn = i == at and head in self.charts and self.result is not None
            self.panels[head].value = self.charts[head](self.result) if drawn else ""

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


class Questions(w.VBox):
    """The lesson's questions, one at a time, with numbers from the learner's own number.

    Parameters
    ----------
    questions : sequence of Question
        In the order of the lesson.
    seed : int
        Number of the learner; a class counts off.
    """

    def __init__(self, questions: Sequence[Question], seed: int = 1) -> None:
        self.questions, self.at = list(questions), 0
        style = {"description_width": "initial"}
        self.seed = w.BoundedIntText(value=seed, min=1, max=9999, description="Your number in the class", style=style)
        self.ask = w.HTML().add_class("mosaic-ask")
        self.place, self.verdict = w.HBox(), w.HTML().add_class("mosaic-verdict")
        check, after = (
            w.Button(description="Check", button_style="primary"),
            w.Button(description="Next question"),
        )
        check.on_click(lambda _: self.check())
        after.on_click(lambda _: self.go(self.at + 1))
        self.seed.observe(lambda _: self.go(self.at), "value")
        buttons = w.HBox([check, after])
        super().__init__([w.HTML(STYLE), self.seed, self.ask, self.place, buttons, self.verdict])
        self.add_class("mosaic-questions")
        self.go(0)

    @property
    def question(self) -> Question:
        """The question that is open."""
        return self.questions[self.at]

    def go(self, at: int) -> None:
        """Open a question."""
        self.at = at % len(self.questions)
        question = self.question
        self.values = question.values(self.seed.value)
        asked = html.escape(question.ask(self.values))
        self.ask.value = f"<p><b>{self.at + 1} of {len(self.questions)}.</b> {asked}</p>"
        if question.options:
            self.answer = w.RadioButtons(options=question.options, value=None, layout=w.Layout(width="auto"))
        else:
            self.answer = w.Text(placeholder="your answer", layout=w.Layout(width="140px"), tooltip="Your answer")
        units = [("unit?", ""), *((unit, unit) for unit in question.units)]
        self.units = w.Dropdown(options=units, value="", layout=w.Layout(width="90px"), tooltip="Unit of your answer")
        self.place.children = [self.answer, self.units] if question.units else [self.answer]
        self.verdict.value = ""

    def check(self) -> None:
        """Judge the answer and show the verdict."""
        try:
            if self.question.units and not self.units.value:
                raise MosaicError("Choose the unit of your answer from the list.")
            if self.answer.value in (None, ""):
                raise MosaicError("Give an answer first.")
            found = self.question.judge(self.values, self.answer.value, self.units.value)
            self.verdict.value = paragraph(found.words, "yes" if found.right else "no")
        except MosaicError as wrong:
            self.verdict.value = paragraph(str(wrong), "no")

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add the questions in words."""
        found = super()._repr_mimebundle_(**kwargs)
        bundle = found[0] if isinstance(found, tuple) else found
        asked = [f"{i + 1}. {q.ask(q.values(self.seed.value))}" for i, q in enumerate(self.questions)]
        bundle["text/plain"] = "\n".join(asked)
        return found
