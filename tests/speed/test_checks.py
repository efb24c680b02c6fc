"""The page of printed values against running the same checks bare, in one run."""

from mosaiclib.drawing import to_svg
from mosaiclib.evidence import verdicts
from mosaiclib.lessons import w08_printed
from mosaiclib.lessons.ideas import Checked
from mosaiclib.report import report_table
from published import CHECKS
from ratios import best, least

MOST = 2.0  # 1.0 measured: nearly all of it is the checks


def test_the_page_of_all_checks_against_the_checks_bare(told):
    every = w08_printed.Settings("all")

    def bare():
        for check in CHECKS:
            check.ours()

    def page():
        verdicts.cache_clear()
        result = w08_printed.compute(every)
        to_svg(w08_printed.draw(result)), report_table(w08_printed.report(result)), Checked(result.every)._repr_html_()

    bare(), page()
    ratio = least(lambda: best(page, 2) / best(bare, 2), MOST)
    told(f"page of {len(CHECKS)} printed values over the checks bare", ratio, MOST)
    assert ratio <= MOST
