"""What a lesson writes on its page: style sheet, sentences and tables, as HTML and as plain words."""

__all__ = ["STYLE", "Row", "paragraph", "plain_report", "report_table", "words_of"]

import html
from collections.abc import Sequence
from typing import NamedTuple

from mosaiclib.words import Length, Text, mm, told


class Row(NamedTuple):
    """One line of a report: label, quantity, remark. Lengths keep their millimetres until the row is shown."""

    label: str | Text
    value: float | int | str | Text | Length
    unit: str = ""
    verdict: str | Text = ""


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


STYLE = """<style>
.mosaic-lesson, .mosaic-questions {border:1px solid #d8d2c4; border-radius:6px;
  background:#fdfcf8; padding:12px; color:#2b2a27}
.mosaic-controls {flex:0 0 380px; max-width:420px}
.mosaic-picture {flex:1 1 420px; min-width:300px}
.mosaic-stale svg {opacity:0.35}
.mosaic-fold {text-align:left; font-weight:600}
.mosaic-echo p {margin:4px 0; padding:6px 10px; background:#fff1d6; border-left:4px solid #b3541e; line-height:1.35}
.mosaic-help {color:#5d5a52; font-size:12px; line-height:1.25; margin:-4px 0 6px 4px}
.mosaic-message p {margin:4px 0; padding:6px 10px; background:#fff1d6; border-left:4px solid #b3541e;
  color:#2b2a27}
.mosaic-report table {border-collapse:collapse; font-size:14px; line-height:1.35; width:100%}
.mosaic-report td {padding:3px 14px 3px 0; border-bottom:1px solid #e6e1d5; text-align:left;
  vertical-align:top}
.mosaic-report td:nth-child(1) {min-width:150px; max-width:230px}
.mosaic-report td:nth-child(2) {font-weight:600; min-width:110px; max-width:240px}
.mosaic-summary p {font-size:15px; margin:6px 0; padding:6px 10px; background:#eaf1ec;
  border-left:4px solid #2f6f5e}
.mosaic-ask p {font-size:15px; line-height:1.45; margin:6px 0; max-width:760px}
.mosaic-verdict p {margin:6px 0; padding:6px 10px; border-left:4px solid #2f6f5e; background:#eaf1ec;
  max-width:760px}
.mosaic-verdict p.no {border-color:#b3541e; background:#fff1d6}
</style>"""


def paragraph(words: str, css: str = "") -> str:
    """Return a sentence as HTML of a class, read aloud when it changes; nothing for no words.

    >>> paragraph("2 < 3")
    '<p class="" role="status">2 &lt; 3</p>'
    """
    return f'<p class="{css}" role="status">{html.escape(words)}</p>' if words else ""


def report_table(rows: Sequence[Row], unit: str = "mm") -> str:
    """Return a report as an HTML table (what, how much, remark) in the unit of the page, everything typed escaped.

    >>> report_table([Row("Joint", 2.0, "mm", "good")])
    '<table><tr><td>Joint</td><td>2 mm</td><td>good</td></tr></table>'
    """
    lines = [(told(row.label, unit), words_of(row, unit), told(row.verdict, unit)) for row in rows]
    cells = ("".join(f"<td>{html.escape(part)}</td>" for part in line) for line in lines)
    return f"<table>{''.join(f'<tr>{row}</tr>' for row in cells)}</table>"


def plain_report(rows: Sequence[Row], unit: str = "mm") -> list[str]:
    """Return a report as plain lines in the unit of the page.

    >>> plain_report([Row("Joint", 2.0, "mm", "good")])
    ['Joint: 2 mm. good']
    """
    return [f"{told(row.label, unit)}: {words_of(row, unit)}. {told(row.verdict, unit)}".rstrip(". ") for row in rows]
