"""Controls on the page: a slider with its box, a list, a tick box, a table, a button."""

__all__ = ["LABEL", "Field", "field_of", "plain_button", "plain_words", "shared", "standing"]

import html
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from typing import Any

import ipywidgets as w
from ipywidgets.widgets.widget_string import HTMLStyle, TextStyle

from mosaiclib import units
from mosaiclib.drawing.palette import WHITE
from mosaiclib.errors import MosaicError
from mosaiclib.lesson import controls
from mosaiclib.lesson.controls import Control

LABEL = "128px"
STYLE = {"description_width": LABEL}


_SHARED: dict[tuple[Any, ...], w.Widget] = {}


def shared(kind: type[w.Widget], **how: str) -> w.Widget:
    """Return the one layout or style of its kind, for all that never change theirs: each is a message to server and page."""
    key = (kind, *how.items())
    if key not in _SHARED or _SHARED[key].comm is None:  # it was closed with all others
        _SHARED[key] = kind(**how)
    return _SHARED[key]


def standing(there: bool, **how: str) -> w.Layout:
    """Return the layout of what comes and goes, while it is there or not."""
    return shared(w.Layout, **how) if there else shared(w.Layout, display="none")


def plain_words(words: str = "", name: str = "") -> w.HTML:
    """Return words on the page, under a name for the style sheet."""
    return w.HTML(words, layout=shared(w.Layout), style=shared(HTMLStyle), _dom_classes=[name] if name else [])


def plain_button(words: str, **more: Any) -> w.Button:
    """Return a button as wide as its words."""
    wide = shared(w.Layout, width="auto")
    return w.Button(description=words, layout=wide, style=shared(w.ButtonStyle), **more)


def _wide() -> w.Layout:
    """Return the layout of a box that takes the width of the controls, so that what stands in it is not cut."""
    return w.Layout(width="100%")


class Field:
    """One control on the page, by itself a box to type into, made when it is first seen.

    `changed` is called with the field when its value is another, `refused` with the sentence when it cannot be; a slider that is
    `live` is followed while it moves.
    """

    def __init__(
        self,
        control: Control,
        value: Any,
        changed: Callable[["Field"], None],
        refused: Callable[[MosaicError], None],
        live: bool = True,
    ) -> None:
        self.control, self.changed, self.refused, self.live = control, changed, refused, live
        self.unit, self.quiet, self.wrong = "mm", False, ""
        self.value = value
        self.settings: Any = None  # all of them, once they are known
        self.hidden = False  # whether the settings are such that the control means nothing

    @cached_property
    def box(self) -> w.Widget:
        """What is typed into or clicked."""
        self.box = self.made()
        self.show()
        if self.settings is not None:
            self.offer()
        return self.box

    @cached_property
    def slider(self) -> w.Widget | None:
        """What is slid, if anything."""
        return None

    @cached_property
    def view(self) -> w.VBox:
        """The control's place on the page, empty until it is seen there."""
        return w.VBox(layout=standing(not self.hidden))

    def see(self) -> None:
        """Let the control stand in its place where it means something, and only there."""
        self.view.layout = standing(not self.hidden)
        if not (self.hidden or self.view.children):
            self.view.children = self.with_help()

    def made(self) -> w.Widget:
        """Return what is typed into or clicked."""
        return self.heard(w.Text(description=self.label, style=STYLE, continuous_update=False, layout=_wide()))

    def fill(self, value: Any) -> None:
        """Write a value into what `made` returned."""
        self.box.value = self.control.shown(value, self.unit)

    def heard(self, box: w.Widget) -> w.Widget:
        """Return a box whose values are taken."""
        box.observe(lambda change: self.quiet or self.accept(change["new"]), "value")
        return box

    @property
    def label(self) -> str:
        """The control's label with its unit."""
        unit = units.on_page(self.control.unit, self.unit)
        return f"{self.control.label} [{unit}]" if unit else self.control.label

    @property
    def told(self) -> str:
        """The value with its unit, as it is read aloud and printed."""
        unit = "" if self.control.unit == "mm" else units.on_page(self.control.unit, self.unit)
        return f"{self.control.shown(self.value, self.unit)} {unit}".rstrip()

    def accept(self, typed: Any) -> None:
        """Take what was typed or slid; a sentence is shown where it cannot be."""
        try:
            value = self.control.read(typed, self.unit)
        except MosaicError as wrong:
            self.wrong = wrong
            self.refused(wrong)
            return
        self.value, self.wrong = value, ""
        try:
            self.changed(self)
        finally:  # the picture first: it is waited for, and each message takes its time
            self.put(self.value)

    def put(self, value: Any) -> None:
        """Show a value without telling anyone."""
        self.value, self.wrong = value, ""
        if self.is_made:
            self.show()

    def show(self) -> None:
        """Write the value into the box without telling anyone."""
        self.quiet = True
        self.fill(self.value)
        self.quiet = False

    @property
    def is_made(self) -> bool:
        """Whether there is a box, as there is once it was seen."""
        return "box" in self.__dict__

    def set_unit(self, unit: str) -> None:
        """Show lengths and temperatures in other units."""
        self.unit = unit
        if self.is_made and self.control.unit in units.IN_INCHES:
            (self.slider or self.box).description = self.label
            self.box.tooltip = self.label
            if not self.wrong:  # what was refused is kept until it is mended
                self.put(self.value)

    def follow(self, settings: Any) -> None:
        """Heed the other settings: mean something or not, and offer what they give."""
        self.settings = settings
        self.hidden = self.control.when is not None and not self.control.when(settings)
        if self.is_made:
            self.offer()

    def offer(self) -> None:
        """Let be chosen what the settings give, where it is chosen."""

    def with_help(self) -> list[w.Widget]:
        """Return the control, and its help line if it has one."""
        line = w.HBox([self.slider, self.box], layout=shared(w.Layout)) if self.slider else self.box
        if not self.control.help:
            return [line]
        return [line, plain_words(f"<div>{html.escape(self.control.help)}</div>", "mosaic-help")]


class _Lengths(Field):
    """A box that grows with what is typed."""

    def made(self) -> w.Widget:
        return self.heard(
            w.Textarea(description=self.label, style=STYLE, continuous_update=False, rows=2, layout=_wide())
        )


class _Slider(Field):
    made_of, widths = w.IntSlider, ("270px", "96px")  # of the slider and its box

    def made(self) -> w.Widget:
        box = shared(w.Layout, width=self.widths[1])
        return self.heard(w.Text(layout=box, style=shared(TextStyle), continuous_update=False, tooltip=self.label))

    @cached_property
    def slider(self) -> w.Widget:
        """What is slid, in whole steps."""
        ends = {"min": self.control.to_steps(self.control.low), "max": self.control.to_steps(self.control.high)}
        look = {"style": shared(w.SliderStyle, **STYLE), "layout": shared(w.Layout, width=self.widths[0])}
        slider = self.made_of(**ends, **look, readout=False, description=self.label, continuous_update=self.live)
        slider.observe(self._slid, "value")
        return slider

    def _slid(self, change: Mapping[str, Any]) -> None:
        if not self.quiet:
            self.accept(self.control.from_steps(change["new"]))

    def fill(self, value: Any) -> None:
        self.slider.value = self.control.to_steps(value)
        self.slider.tooltip = self.told  # a browser knows the slider's steps only; the page reads this aloud
        super().fill(value)


class _Range(_Slider):
    made_of, widths = w.IntRangeSlider, ("222px", "144px")  # two lengths need a wider box


class _Choice(Field):
    def made(self) -> w.Widget:
        options = tuple(self.control.options)
        return self.heard(w.Dropdown(options=options, description=self.label, style=STYLE, layout=_wide()))


class _Chosen(Field):
    def made(self) -> w.Widget:
        return self.heard(w.Dropdown(description=self.label, style=STYLE, layout=_wide()))

    def fill(self, value: Any) -> None:
        if value not in self.box.options:
            self.box.options = (*self.box.options, value)
        self.box.value = value

    def offer(self) -> None:
        offered = tuple(self.control.offered(self.settings))
        if offered != self.box.options:
            self.quiet = True
            self.box.options, self.box.value = offered, self.value if self.value in offered else None
            self.quiet = False


class _Switch(Field):
    def made(self) -> w.Widget:
        return self.heard(w.Checkbox(description=self.label, indent=False))

    @property
    def told(self) -> str:
        """Whether it is ticked, in a word."""
        return "yes" if self.value else "no"

    def fill(self, value: bool) -> None:
        self.box.value = value


class _Again(Field):
    def made(self) -> w.Widget:
        again = plain_button(self.label)
        again.on_click(lambda _: self.accept(self.value + 1))
        return again

    def fill(self, value: int) -> None:
        pass  # the button shows no number


class _Table(Field):
    """Boxes under their heads, an empty line always among them until there are as many as there may be."""

    def made(self) -> w.GridBox:
        heads = self.control.heads
        words = [plain_words(f"<b>{html.escape(head)}</b>") for head in heads]
        self.cells: list[w.Text] = []
        columns = f"repeat({len(heads)}, minmax(0, auto))"  # by what stands in them, where the browser can
        layout = w.Layout(grid_template_columns=columns, width="100%", grid_gap="2px 6px")
        return w.GridBox(words, layout=layout)

    def _make_room(self, lines: int) -> None:
        """See that there are so many lines of boxes; those that were needed once stay."""
        heads = self.control.heads
        wanted = min(lines, self.control.rows) * len(heads)
        if wanted <= len(self.cells):
            return
        for place in range(len(self.cells), wanted):
            cell = self._cell(heads[place % len(heads)])
            cell.tooltip = f"{heads[place % len(heads)]}, line {place // len(heads) + 1}"
            cell.observe(lambda _: self.quiet or self.accept(self.lines()), "value")
            self.cells.append(cell)
        self.box.children = (*self.box.children[: len(heads)], *self.cells)

    def _cell(self, head: str) -> w.Widget:
        """Return a box to type into, or one to choose a tone from."""
        if head in self.control.tones:
            return w.ColorPicker(concise=True, value=WHITE, layout=shared(w.Layout, width="30px"))
        wide = shared(w.Layout, width="auto", min_width="0")
        return w.Text(continuous_update=False, layout=wide, style=shared(TextStyle))

    def lines(self) -> list[list[str]]:
        """Return what stands in the table, lines without any text left out."""
        heads, cells = self.control.heads, [cell.value.strip() for cell in self.cells]
        lines = [cells[i : i + len(heads)] for i in range(0, len(cells), len(heads))]
        typed = [at for at, head in enumerate(heads) if head not in self.control.tones]
        return [line for line in lines if any(line[at] for at in typed)]

    def fill(self, value: Sequence[Sequence[str]]) -> None:
        self._make_room(len(value) + 1)
        flat = [word for line in value for word in line]
        for i, cell in enumerate(self.cells):
            cell.value = flat[i] if i < len(flat) else WHITE if isinstance(cell, w.ColorPicker) else ""


SHOWN_AS = {
    controls.Range: _Range,
    controls.Slider: _Slider,
    controls.Choice: _Choice,
    controls.Chosen: _Chosen,
    controls.Switch: _Switch,
    controls.Again: _Again,
    controls.Table: _Table,
    controls.Points: _Lengths,
    controls.Readings: _Lengths,
    Control: Field,
}


def field_of(control: Control, *more: Any) -> Field:
    """Return the field for a control; `more` goes to `Field`."""
    return next(field for kind, field in SHOWN_AS.items() if isinstance(control, kind))(control, *more)
