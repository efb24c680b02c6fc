"""One visit to a workbook for all that is only looked at: its parts at every size, seen once and judged by many tests."""

__all__ = ["MEASURED", "SIZES", "Part", "Tour", "at_rest", "file_of", "hashes", "to_lesson", "unfold", "visit"]

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from driving import PATIENCE, no_errors, open_workbook, served, workbook
from mosaiclib.launch import WORKBOOKS
from mosaiclib.lessons import lessons

SIZES = [(1280, 800), (1024, 768), (768, 1024), (1920, 1080)]
# each does something to a notebook
KEYS = ["x", "d", "d", "m", "b", "a", "0", "0", "z", "Space", "Escape", "Delete", "Control+s", "Shift+Enter"]
OPENED = """() => {
  const svg = document.querySelector('.mosaic-lesson .mosaic-picture svg').getBoundingClientRect();
  return { scrolled: scrollY, shown: (Math.min(innerHeight, svg.bottom) - Math.max(0, svg.top)) / svg.height,
           rest: document.documentElement.scrollHeight
             - [...document.querySelectorAll('.jp-Cell')].at(-1).getBoundingClientRect().bottom,
           heads: [...document.querySelectorAll('#rendered_cells :is(h1, h2)')].map((head) => head.firstChild.textContent.trim()),
           words: document.getElementById('rendered_cells').innerText,
           code: document.querySelectorAll('.jp-InputArea-editor, .jp-Toolbar, .jp-FileBrowser, .cm-editor, .celltag_check').length,
           asked: document.querySelectorAll('#rendered_cells .mosaic-questions').length };
}"""
MEASURED = """() => {
  const box = (name) => document.querySelector(`.mosaic-lesson ${name}`).getBoundingClientRect();
  const [svg, line, controls] = [box('.mosaic-picture svg'), box('.mosaic-summary p'), box('.mosaic-controls')];
  const headline = document.querySelector('.mosaic-lesson .mosaic-summary p');
  const kept = parseFloat(getComputedStyle(headline.closest('.mosaic-summary')).minHeight);
  const steps = document.querySelector('.mosaic-lesson .mosaic-undo').getBoundingClientRect();
  return { wide: svg.width, top: line.top, picture: svg.top, bottom: svg.bottom, steps: steps.bottom,
           aside: controls.right <= svg.left,
           spare: kept - line.height,
           lines: Math.round((line.height - 10) / parseFloat(getComputedStyle(headline).lineHeight)),
           over: document.documentElement.scrollWidth - innerWidth,
           bar: document.querySelector('.mosaic-bar').getBoundingClientRect().bottom };
}"""
TOLD = """() => ['svg[role=img] > title', '.mosaic-report td'].map(
  (name) => document.querySelector(`.mosaic-lesson ${name}`)?.textContent ?? '')"""
UNFOLD = "for (const f of document.querySelectorAll('.mosaic-fold')) f.nextSibling.style.display = 'flex'"
CUT = """() => {
  const pen = document.createElement('canvas').getContext('2d');
  const seen = (wanted) => [...document.querySelectorAll(`.mosaic-lesson ${wanted}`)].filter((one) => one.offsetParent);
  const words = 'button, .widget-label, .widget-label-basic, .widget-text input, textarea, td';
  const cut = seen(`:is(${words})`).filter((one) => one.scrollWidth > one.clientWidth + 1);
  const lists = seen('select').filter((list) => {
    pen.font = getComputedStyle(list).font;
    return [...list.options].some((one) => pen.measureText(one.textContent).width > list.clientWidth - 24);
  });
  return [...cut, ...lists].map((one) => one.value || one.textContent);
}"""
NAMELESS = """() => [...document.querySelectorAll('.jp-Cell :is(input, select, textarea, button, [role=slider], img, svg[role=img])')]
    .filter((one) => one.offsetParent || one.closest('svg'))
    .filter((one) => !(one.ariaLabel || one.title || one.alt || one.labels?.length || one.textContent.trim()))
    .map((one) => one.outerHTML.slice(0, 200))"""
EMPTY = """() => [...document.querySelectorAll('[title]')]
    .filter((one) => ['', 'null'].includes(one.title.trim())).map((one) => one.outerHTML.slice(0, 200))"""


@dataclass(frozen=True)
class Part:
    """What was seen of a part: measures of its lesson by the window's size, words that are cut off there, and what is told to whom."""

    measured: dict[tuple[int, int], dict[str, Any]]
    filling: dict[tuple[int, int], dict[str, Any]]  # the window
    cut: dict[tuple[int, int], list[str]]
    told: list[str]  # the picture's title, the first word of the table
    nameless: list[str]
    empty: list[str]  # tooltips
    violations: list[dict[str, Any]]


@dataclass(frozen=True)
class Tour:
    """What was seen of a workbook: on opening it, of each part, and whether pressing keys did anything to it or its files."""

    opened: dict[str, Any]
    parts: dict[str, Part]
    changed: list[str]


def file_of(number: str) -> str:
    """Return the file name of a workbook."""
    (file,) = WORKBOOKS.glob(f"{number}_*.ipynb")
    return file.name


def hashes(folder) -> dict[str, str]:
    """Return the hash of every notebook in a folder."""
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in folder.glob("*.ipynb")}


def opened_parts(page, number: str) -> Iterator[str]:
    """Open, by the bar, one part of the open workbook after the other."""
    for words, module in lessons(number).items():
        if len(lessons(number)) > 1:
            page.locator("#sections").get_by_role("button", name=words, exact=True).click()
        expect(workbook(page).locator(".mosaic-lesson h3")).to_have_text(module.TITLE, timeout=PATIENCE)
        yield words


def at_rest(page, every: int = 250) -> dict[str, Any]:
    """Return the measures once they stay as they are for so long [ms]: a part that was just opened draws its picture twice."""
    before = {}
    for _ in range(40):
        found = page.evaluate(MEASURED)
        if found == before:
            break
        before = found
        page.wait_for_timeout(every)
    return found


def to_lesson(page) -> None:
    """Scroll so that the lesson begins at the top."""
    page.evaluate("document.querySelector('.mosaic-lesson').scrollIntoView()")


def unfold(page) -> None:
    """Open one fold of the lesson after the other, as what it holds may only then be made, then show all of them at once."""
    for head in page.locator(".mosaic-lesson .mosaic-fold:visible").all():
        head.click()
        expect(head).to_have_attribute("aria-expanded", "true", timeout=PATIENCE)
        page.wait_for_function("head => head.nextSibling.childElementCount", arg=head.element_handle())
    page.evaluate(UNFOLD)
    page.evaluate("dispatchEvent(new Event('wheel'))")  # what was clicked need not stay where it is any longer


def visit(page, number: str) -> Tour:
    """Open a workbook, look at each of its parts, press keys that would change a notebook; fail where an error is shown."""
    page.set_viewport_size(dict(zip(("width", "height"), SIZES[0], strict=True)))
    open_workbook(page, file_of(number))
    page.wait_for_timeout(1000)
    opened = at_rest(page) | page.evaluate(OPENED)
    parts = {words: _seen(page) for words in opened_parts(page, number)}
    before = hashes(served(page))
    _press(page)
    no_errors(page)
    after = hashes(served(page))
    return Tour(opened, parts, [name for name in before | after if before.get(name) != after.get(name)])


def _seen(page) -> Part:
    """Look at the open part at every size, then at all that its folds hold."""
    at_rest(page)
    measured = {size: _measured(page, size) for size in SIZES}
    page.get_by_role("button", name="Fill the window").click()
    filling = {size: _measured(page, size) for size in reversed(SIZES)}
    page.keyboard.press("Escape")
    unfold(page)
    cut = {}
    for size in SIZES:
        _resize(page, size)
        page.wait_for_timeout(100)
        cut[size] = page.evaluate(CUT)
    violations = Axe().run(page).response["violations"]
    return Part(measured, filling, cut, *(page.evaluate(what) for what in (TOLD, NAMELESS, EMPTY)), violations)


def _measured(page, size: tuple[int, int]) -> dict[str, Any]:
    _resize(page, size)
    at_rest(page, every=80)  # nothing is drawn anew for another size
    to_lesson(page)  # once more: what stands above it may have become longer since
    return at_rest(page, every=80)


def _resize(page, size: tuple[int, int]) -> None:
    page.set_viewport_size(dict(zip(("width", "height"), size, strict=True)))
    to_lesson(page)


def _press(page) -> None:
    """Press on a control what would change a notebook, and treat its text as one would there."""
    handle = page.locator(".mosaic-lesson :is(.noUi-handle, .mosaic-controls button)").first
    for key in KEYS:
        handle.focus()
        page.keyboard.press(key)
    text = workbook(page).locator("p:visible").first
    text.dblclick()
    page.keyboard.press("Delete")
    text.click(button="right")
    page.keyboard.press("Escape")
    expect(page.locator(".mosaic-lesson").first).to_be_visible()
    expect(page.locator(".lm-Menu, .jp-Dialog, .cm-editor")).to_have_count(0)
