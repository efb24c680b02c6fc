"""One control on the page: its slider, box, list, tick box, table or button."""

__all__ = ["LABEL", "Field"]

import html
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import ipywidgets as w

from mosaiclib.errors import MosaicError
from mosaiclib.lesson.controls import Control, read, shown

LABEL = "128px"
WIDTHS = (("270px", "96px"), ("222px", "144px"))  # of a slider and its box; two lengths need a wider box


class Field:
    """One control on the page: a slider with a box, a list, a tick box, a table or a button."""

    def __init__(
        self, control: Control, changed: Callable[["Field"], None], refused: Callable[[MosaicError], None]
    ) -> None:
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
            w.Text(
                description=label,
                style=style,
                continuous_update=False,
                layout=w.Layout(width="100%", max_width="372px"),
            )
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
            self.wrong = wrong
            self.refused(self.wrong)
            return
        self.put(value)
        self.changed(self)

    def put(self, value: Any) -> None:
        """Show a value without telling anyone."""
        self.value, self.quiet, self.wrong = value, True, ""
        if self.slider is not None:
            self.slider.value = self.control.to_steps(value)
            self.box.value = shown(self.control, value, self.unit)
        elif self.control.kind == "table":
            _fill(self.box, value)
        elif self.control.kind in ("readings", "points"):
            self.box.value = shown(self.control, value, self.unit)
        elif self.control.kind != "again":
            self.box.value = value
        self.quiet = False

    def set_unit(self, unit: str) -> None:
        """Show lengths in another unit."""
        self.unit = unit
        if self.control.unit == "mm":
            (self.slider or self.box).description = self.label
            self.box.tooltip = self.label
            if not self.wrong:  # what was refused is kept until it is mended
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
    width = w.Layout(width="auto", min_width="0")
    boxes = [w.Text(continuous_update=False, layout=width) for _ in range(control.rows * len(control.options))]
    columns = f"minmax(0, 2fr) repeat({len(control.options) - 1}, minmax(0, 1fr))"
    grid = w.GridBox(
        [*heads, *boxes],
        layout=w.Layout(grid_template_columns=columns, width="100%", max_width="372px", grid_gap="2px 6px"),
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
