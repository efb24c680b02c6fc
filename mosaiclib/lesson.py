"""The one way a lesson looks and behaves: controls, picture, report, questions. Imports ipywidgets."""

__all__ = ["Lesson", "Questions"]

import html
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

import ipywidgets as w

from mosaiclib import measures
from mosaiclib.control import Action, Control, Row, read, words_of
from mosaiclib.errors import MosaicError
from mosaiclib.question import Question

STYLE = """<style>
.mosaic-lesson, .mosaic-questions {border:1px solid #d8d2c4; border-radius:6px; background:#fdfcf8; padding:12px;
  color:#2b2a27}
.mosaic-controls {flex:0 0 380px; max-width:420px}
.mosaic-picture {flex:1 1 420px; min-width:300px}
.mosaic-help {color:#5d5a52; font-size:12px; line-height:1.25; margin:-4px 0 6px 4px}
.mosaic-message p {margin:4px 0; padding:6px 10px; background:#fff1d6; border-left:4px solid #b3541e; color:#2b2a27}
.mosaic-report table {border-collapse:collapse; font-size:14px}
.mosaic-report td {padding:3px 14px 3px 0; border-bottom:1px solid #e6e1d5; text-align:left; vertical-align:top}
.mosaic-report td:nth-child(2) {font-weight:600; white-space:nowrap}
.mosaic-summary p {font-size:15px; margin:6px 0; padding:6px 10px; background:#eaf1ec; border-left:4px solid #2f6f5e}
.mosaic-ask p {font-size:15px; line-height:1.45; margin:6px 0; max-width:760px}
.mosaic-verdict p {margin:6px 0; padding:6px 10px; border-left:4px solid #2f6f5e; background:#eaf1ec; max-width:760px}
.mosaic-verdict p.no {border-color:#b3541e; background:#fff1d6}
</style>"""
LABEL = "128px"
UNEXPECTED = "Something went wrong inside the workbook itself, not in what you typed. Set the last control back."


def _paragraph(words: str, css: str = "") -> str:
    return f'<p class="{css}" role="status">{html.escape(words)}</p>' if words else ""


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
            slider = w.IntSlider(min=low, max=high, readout=False, description=label, style=style)
            slider.layout = w.Layout(width="270px")
            slider.observe(self._slid, "value")
            self.slider = slider
            return self._typed(w.Text(layout=w.Layout(width="96px"), continuous_update=False, tooltip=label))
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
        unit = self.unit if self.control.kind == "length" else self.control.unit
        return f"{self.control.label} [{unit}]" if unit else self.control.label

    def _slid(self, change: Mapping[str, Any]) -> None:
        if not self.quiet:
            # the slider counts whole steps, because a browser rounds decimals badly
            value = round(change["new"] * self.control.step, 6)
            self.accept(int(value) if self.control.kind == "count" else value)

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
            self.slider.value = round(value / self.control.step)
            length = self.control.kind == "length"
            self.box.value = measures.show(value, self.unit) if length else f"{value:.6g}"
        elif self.control.kind == "table":
            _fill(self.box, value)
        elif self.control.kind == "readings" and not isinstance(value, str):
            self.box.value = " ".join(f"{reading:g}" for reading in value)
        elif self.control.kind != "again":
            self.box.value = value
        self.quiet = False

    def set_unit(self, unit: str) -> None:
        """Show lengths in another unit."""
        self.unit = unit
        if self.slider is not None:
            self.slider.description = self.label
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
    grid = w.GridBox([*heads, *boxes], layout=w.Layout(grid_template_columns=columns, width="372px", grid_gap="2px 6px"))
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
        Heading, also the picture's name for those who hear it.
    settings : dataclass
        The settings at the start; each control is named after one of its fields.
    compute : callable
        From the settings to a result; pure.
    draw : callable
        From the result to a `drawing.Drawing`.
    report : callable
        From the result to a list of `Row`.
    summary : callable
        From the result to the one line of quantities.
    controls : sequence of Control
        In the order of the house.
    charts : dict, optional
        From the heading of a fold to a function from the result to an HTML picture shown in it.
    actions : sequence of Action
        Buttons under the controls.
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
        self.fields = {c.name: _Field(replace(c, default=getattr(settings, c.name)), self._changed, self._say) for c in controls}
        self.panels: dict[str, w.HTML] = {}
        self.folds = self._folded()
        self.unit_switch = w.ToggleButtons(options=list(measures.UNITS), description="Lengths in")
        self.unit_switch.style = {"description_width": LABEL, "button_width": "60px"}
        self.unit_switch.observe(lambda change: self._set_unit(change["new"]), "value")
        self.actions = {a.name: self._action(a) for a in actions}
        super().__init__(self._page())
        self.add_class("mosaic-lesson")
        self.refresh()

    def _page(self) -> list[w.Widget]:
        """Return the page's parts in their places."""
        open_now = [f.view() for f in self.fields.values() if not f.control.fold]
        folded = [self.folds] if self.folds.children else []
        left = w.VBox([*open_now, self.unit_switch, *folded, *self.actions.values()]).add_class("mosaic-controls")
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

    def _action(self, action: Action) -> w.HBox:
        """Return an action's box and button."""
        box = w.Text(value=action.default, description=action.box, style={"description_width": LABEL})
        box.layout = w.Layout(width="270px")
        button = w.Button(description=action.label, layout=w.Layout(width="auto"))
        button.on_click(lambda _: self._run(action, box.value))
        return w.HBox([box, button] if action.box else [button])

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
        self.message.value = _paragraph(words)

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
            self._show()
            self._say("")
        except MosaicError as wrong:
            self._say(str(wrong))
        except Exception:
            self._say(UNEXPECTED)
            raise

    def _show(self) -> None:
        if self.result is None:
            return
        from mosaiclib.drawing import to_svg

        self.picture.value = to_svg(self.draw(self.result))
        self.table.value = self._report_html()
        self.line.value = _paragraph(self.summary(self.result))
        self._draw_charts()

    def _draw_charts(self) -> None:
        """Draw the chart of the fold that is open, so that closed ones cost nothing."""
        at = self.folds.selected_index
        for i, head in enumerate(self.panels):
            drawn = i == at and head in self.charts and self.result is not None
            self.panels[head].value = self.charts[head](self.result) if drawn else ""

    def _report_html(self) -> str:
        lines = [(row.label, words_of(row, self.unit), row.verdict) for row in self.report(self.result)]
        cells = ("".join(f"<td>{html.escape(part)}</td>" for part in line) for line in lines)
        return f"<table>{''.join(f'<tr>{row}</tr>' for row in cells)}</table>"

    def text(self) -> str:
        """Return settings and report as plain text, for readers and for checks."""
        shown = [f"{f.label}: {_plain(f)}" for f in self.fields.values()]
        rows = [] if self.result is None else self.report(self.result)
        told = [f"{row.label}: {words_of(row, self.unit)}. {row.verdict}".rstrip(". ") for row in rows]
        line = [] if self.result is None else [self.summary(self.result)]
        return "\n".join([self.title, *shown, "", *line, *told])

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add plain words and a picture, for a reader who has not run anything."""
        found = super()._repr_mimebundle_(**kwargs)
        bundle = found[0] if isinstance(found, tuple) else found
        bundle["text/plain"] = self.text()
        if self.result is not None:
            from mosaiclib.drawing import to_png

            bundle["image/png"] = to_png(self.draw(self.result), width_px=900)
        return found


def _plain(field: _Field) -> str:
    value = field.value
    if field.control.kind == "length":
        return measures.show(value, field.unit)
    if isinstance(value, tuple):
        return "; ".join(", ".join(cell for cell in line) if isinstance(line, tuple) else f"{line:g}" for line in value)
    return str(value)


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
        check, after = w.Button(description="Check", button_style="primary"), w.Button(description="Next question")
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
        units = (("unit?", ""), *question.units)
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
            self.verdict.value = _paragraph(found.words, "yes" if found.right else "no")
        except MosaicError as wrong:
            self.verdict.value = _paragraph(str(wrong), "no")

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add the questions in words."""
        found = super()._repr_mimebundle_(**kwargs)
        bundle = found[0] if isinstance(found, tuple) else found
        asked = [f"{i + 1}. {q.ask(q.values(self.seed.value))}" for i, q in enumerate(self.questions)]
        bundle["text/plain"] = "\n".join(asked)
        return found
