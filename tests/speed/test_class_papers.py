"""The demo class from empty to all exports beside the bare drawing of its sheets: same drawings, same writer, nothing else."""

import io

import matplotlib
from matplotlib.backends.backend_pdf import PdfPages

from mosaiclib.course import Class, groups, plan_class
from mosaiclib.course.papers import papers_of, write_all
from mosaiclib.drawing import to_figure
from mosaiclib.drawing.mpl import SETTINGS
from mosaiclib.lessons.handouts import handouts
from mosaiclib.reference import DATA
from ratios import best, least

MOST = 3.0


def drawn(books):
    """Write the drawings of each book into a PDF as matplotlib does it."""
    with matplotlib.rc_context(SETTINGS):
        for pages in books:
            with PdfPages(io.BytesIO()) as book:
                for page in pages:
                    to_figure(page).savefig(book, format="pdf")


def test_the_demo_class_is_planned_and_written_in_three_times_its_bare_drawing(told, tmp_path):
    course = plan_class(Class.load(DATA / "example_class.json"))
    books = [made() for made in {**papers_of(course), **handouts(course.klass.learners)}.values()]
    assert sum(map(len, books)) > 100

    def whole():
        groups._worked.cache_clear()  # a class from empty: no plan is remembered
        fresh = plan_class(Class.load(DATA / "example_class.json"))
        write_all(fresh, tmp_path / "class", more=handouts(fresh.klass.learners, fresh.klass.paper))

    drawn(books[:1])  # fonts are looked for once
    ratio = least(lambda: best(whole, 1) / best(lambda: drawn(books), 1), MOST)
    told(f"the demo class from empty to all exports over its {sum(map(len, books))} sheets bare", ratio, MOST)
    assert ratio <= MOST
