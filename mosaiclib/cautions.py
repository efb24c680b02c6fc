"""What can hurt a maker: one text a hazard, told where the hand meets it, on pages and on printed paper."""

__all__ = ["PAGES", "PAPERS", "caution", "cautions_on", "on_paper"]

from mosaiclib import reference
from mosaiclib.errors import choice

PAGES = ("00", "01", "02", "03", "04", "05", "06", "07", "08")
PAPERS = ("sheet", "gauge", "plan", "powder", "resin", "slides", "round")


def caution(name: str) -> str:
    """Return the whole text of one hazard.

    >>> caution("precedence")
    "Local rules and the manufacturer's instructions and safety data sheet take precedence over this page."
    """
    return reference.value("cautions", name).note


def cautions_on(page: str) -> list[tuple[str, str]]:
    """Return the hazards of a workbook by its number, each with its heading and its whole text.

    >>> [heading for heading, _ in cautions_on("01")]
    ['Splinters and flying chips', 'Raw edges', 'Children and classes', 'Who decides']
    """
    choice(page, "workbook", PAGES)
    return [(row.group, row.note) for row in reference.table("cautions") if page in row.more["pages"].split()]


def on_paper(*papers: str) -> str:
    """Return the few hazards that matter on printed paper, in short sentences, each once.

    >>> on_paper("gauge")[:46]
    'Glass cuts, splinters fly: safety glasses, clo'
    """
    wanted = {choice(paper, "paper of cautions", PAPERS) for paper in papers}
    rows = (row for row in reference.table("cautions") if wanted & set(row.more["papers"].split()))
    return " ".join(row.more["on paper"] for row in rows)
