"""What a lesson writes on its page: sentences and tables, as HTML and as plain words."""

__all__ = ["Row", "links", "paragraph", "plain_report", "report_table", "slug", "words_of"]

import html
from collections.abc import Sequence
from typing import NamedTuple
from urllib.parse import quote

from mosaiclib.words import Length, Text, mm, told


class Row(NamedTuple):
    """One line of a report: label, quantity, remark. Lengths keep their millimetres until the row is shown.

    `checked`: the subject of the printed values that its figure is checked against, which workbook 08 shows.
    """

    label: str | Text
    value: float | int | str | Text | Length
    unit: str = ""
    verdict: str | Text = ""
    checked: str = ""


def words_of(row: Row, unit: str = "mm") -> str:
    """Return a report row's value with its unit, lengths in the unit of the page.

    >>> words_of(Row("Joint", 1.54, "mm")), words_of(Row("Pieces", 1200, "pieces"))
    ('1.54 mm', '1,200 pieces')
    """
    if isinstance(row.value, str | Text | Length):
        return f"{told(row.value, unit)} {row.unit}".strip()
    if row.unit == "mm":
        return told(mm(row.value), unit)
    spelled = f"{row.value:,}" if isinstance(row.value, int) else f"{row.value:,.10g}"
    return f"{spelled} {row.unit}".strip() if row.unit != "%" else f"{spelled} %"


def paragraph(words: str, css: str = "") -> str:
    """Return a sentence as HTML of a class, read aloud when it changes; nothing for no words.

    >>> paragraph("2 < 3")
    '<p class="" role="status">2 &lt; 3</p>'
    """
    return f'<p class="{css}" role="status">{html.escape(words)}</p>' if words else ""


def links(files: Sequence[str]) -> str:
    """Return links as HTML that open files of the workbook's folder beside the page, the folder's own server giving them.

    >>> links(["my_plans/a b.pdf"])
    '<p><a href="../../files/my_plans/a%20b.pdf" target="_blank">a b.pdf</a></p>'
    """
    one = '<a href="../../files/{}" target="_blank">{}</a>'
    shown = [one.format(quote(file), html.escape(file.rpartition("/")[2])) for file in files]
    return f"<p>{', '.join(shown)}</p>" if shown else ""


def report_table(rows: Sequence[Row], unit: str = "mm") -> str:
    """Return a report as an HTML table (what, how much, remark) in the unit of the page, everything typed escaped.

    >>> report_table([Row("Joint", 2.0, "mm", "good")])
    '<table><tr><td>Joint</td><td>2 mm</td><td>good</td></tr></table>'
    """
    lines = [((told(row.label, unit), words_of(row, unit), told(row.verdict, unit)), row.checked) for row in rows]
    cells = (
        "".join(f"<td>{html.escape(part)}</td>" for part in parts)[:-5] + _proof(of) + "</td>" for parts, of in lines
    )
    return f"<table>{''.join(f'<tr>{row}</tr>' for row in cells)}</table>"


def _proof(subject: str) -> str:
    """Return a link to the printed values of a subject, nothing for none."""
    return f' <a href="08_check_the_numbers.ipynb#{slug(subject)}" target="_blank">how we know</a>' if subject else ""


def slug(subject: str) -> str:
    """Return a subject of printed values as an address writes it.

    >>> slug("SVG paths")
    'SVG-paths'
    """
    return subject.replace(" ", "-")


def plain_report(rows: Sequence[Row], unit: str = "mm") -> list[str]:
    """Return a report as plain lines in the unit of the page.

    >>> plain_report([Row("Joint", 2.0, "mm", "good")])
    ['Joint: 2 mm; good']
    """
    said = ((told(row.label, unit), words_of(row, unit), told(row.verdict, unit)) for row in rows)
    return [f"{label}: {'; '.join(part for part in parts if part)}" for label, *parts in said]
