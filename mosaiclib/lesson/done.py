"""What was done: the tasks of a workbook that were marked, and an account of all workbooks."""

__all__ = ["Account", "Tasks", "told"]

import html
from collections.abc import Mapping, Sequence
from typing import Any

import ipywidgets as w
from ipywidgets.widgets.widget_bool import CheckboxStyle

from mosaiclib.lesson.kept import Kept

NOTHING = "Nothing yet. What you try, answer and mark as done in the workbooks is told here when you come back."


class Tasks(w.HBox):
    """A box to tick for each task of a workbook."""

    def __init__(self, count: int, kept: Kept) -> None:
        self.kept = kept
        done = _listed(kept)
        look = {"layout": w.Layout(width="auto", margin="0 14px 0 0"), "style": CheckboxStyle(), "indent": False}
        self.boxes = [w.Checkbox(at in done, description=f"task {at}", **look) for at in range(1, count + 1)]
        for box in self.boxes:
            box.observe(lambda _: self.kept.write(self.done), "value")
        super().__init__([w.HTML("<b>Done:</b>", layout=look["layout"]), *self.boxes])
        self.layout.flex_flow = "row wrap"
        self.add_class("mosaic-done")

    @property
    def done(self) -> list[int]:
        """The numbers of the tasks that are marked."""
        return [at for at, box in enumerate(self.boxes, 1) if box.value]

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add how many tasks there are, in words."""
        found = super()._repr_mimebundle_(**kwargs)
        (found[0] if isinstance(found, tuple) else found)["text/plain"] = f"{len(self.boxes)} tasks to mark as done."
        return found


def _listed(kept: Kept) -> list[Any]:
    """Return the list that was kept, empty where there is none."""
    stored = (kept.read() or ([], ""))[0]
    return stored if isinstance(stored, list) else []


def told(parts: Mapping[str, str], questions: tuple[str, int], tasks: tuple[str, int]) -> str:
    """Say in a line what was done in a workbook, nothing where it was not opened.

    `parts` leads from the name of a part to where it is kept; the others are where they are kept, and how many there are.
    """
    kept = {words: found[0] for words, name in parts.items() if (found := Kept.of(name).read())}
    tried = [words for words, stored in kept.items() if isinstance(stored, dict) and stored.get("tried")]
    asked = (Kept.of(questions[0]).read() or ({}, ""))[0]
    right = asked.get("best", 0) if isinstance(asked, dict) else 0
    done = len(_listed(Kept.of(tasks[0])))
    lines = (
        f"tried {', '.join(tried)}" if tried else "",
        f"opened {', '.join(words for words in kept if words not in tried)}" if len(kept) > len(tried) else "",
        f"{done} of {tasks[1]} tasks done" if done else "",
        f"{right} of {questions[1]} questions right" if right else "",
    )
    return "; ".join(line for line in lines if line)


class Account:
    """Lines on what was done, by the workbook, which show themselves."""

    def __init__(self, lines: Sequence[tuple[str, str]]) -> None:
        self.lines = [line for line in lines if line[1]]

    def _repr_html_(self) -> str:
        if not self.lines:
            return f"<p>{NOTHING}</p>"
        items = "".join(f"<li><b>{number}</b>: {html.escape(said)}.</li>" for number, said in self.lines)
        return f"<p><b>So far, on this computer:</b></p><ul>{items}</ul>"

    def __repr__(self) -> str:
        return "\n".join(f"{number}: {said}." for number, said in self.lines) or NOTHING
