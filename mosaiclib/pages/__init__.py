"""The workbooks as plain pages: which notebooks run on opening, and what a page leaves out of them."""

__all__ = [
    "FOLDER",
    "LEARNERS",
    "SHIPPED",
    "fingerprint",
    "for_reading",
    "in_reading_order",
    "learners_page",
    "page_settings",
    "record",
]

import hashlib
import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parent
LIST = FOLDER / "shipped.json"
SHIPPED: dict[str, str] = json.loads(LIST.read_text(encoding="utf-8"))
TEACHERS = ("07", "08")  # about the class itself, and about the numbers: not on the learners' tablets
LEARNERS = {name: mark for name, mark in SHIPPED.items() if name[:2] not in TEACHERS}

ELSEWHERE = (
    "Only the workbooks of this project open as pages. This notebook is from elsewhere and could do anything on this "
    "computer. If you trust whoever made it, open it in JupyterLab and run it there."
)
CROWDED = "Many pages are open already. Close some of them, then reload this one."
MOST_KERNELS = 40  # a class on one computer, twice; each takes about 170 MB
ASKED_FROM_ELSEWHERE = "Another page asked for this workbook. Open it from the address that the start command says."
CHANGED = (
    "This workbook is no longer as it was shipped, so it does not run by itself. If you changed it yourself, open it "
    "as a notebook and press Run, Run All Cells."
)

# A page shows its lesson at once, then what to do with it; what explains it follows. Cells are named by their ids.
FIRST = ("title", "try", "lesson", "demonstration", "tasks", "done-tasks")


def in_reading_order(cells: list[Any]) -> list[Any]:
    """Return a workbook's cells in the order in which a page shows them, those before the lesson tagged as its opening.

    A workbook without a lesson stays as it is.
    """
    if not any(cell.get("id") == "lesson" for cell in cells):
        return cells
    for cell in cells:
        if cell["id"] in FIRST[: FIRST.index("lesson")]:
            cell["metadata"]["tags"] = ["opening"]
    return sorted(cells, key=lambda cell: FIRST.index(cell["id"]) if cell["id"] in FIRST else len(FIRST))


def fingerprint(notebook: Mapping[str, Any]) -> str:
    """Return a hash over everything in a notebook that a page shows or runs; stored outputs do not count."""
    cells = [[cell["cell_type"], "".join(cell["source"])] for cell in notebook["cells"]]
    return hashlib.sha256(json.dumps(cells).encode()).hexdigest()


def record(folder: Path) -> None:
    """Write down the fingerprints of a folder's workbooks as the shipped ones; for developers."""
    books = {path.name: json.loads(path.read_text(encoding="utf-8")) for path in sorted(folder.glob("[0-9]*.ipynb"))}
    marks = {name: fingerprint(book) for name, book in books.items()}
    LIST.write_text(json.dumps(marks, indent=1) + "\n", encoding="utf-8")


def for_reading(shipped: Mapping[str, str], most: int = MOST_KERNELS) -> Callable[..., Any]:
    """Return what prepares a notebook for its page: refuses what was not shipped, drops what no reader needs.

    `most` is how many pages may be open at once.
    """
    import nbformat
    from tornado.web import HTTPError

    def prepare(handler: Any, notebook: Any, cwd: str) -> Any:
        name = handler.path_args[0]
        site = handler.request.headers.get("Sec-Fetch-Site", "none")
        if site in ("cross-site", "same-site") and not handler.token_authenticated:
            raise HTTPError(403, ASKED_FROM_ELSEWHERE)
        if len(handler.kernel_manager.list_kernel_ids()) >= most:
            raise HTTPError(403, CROWDED)
        if name not in shipped:
            raise HTTPError(403, ELSEWHERE)
        if fingerprint(notebook) != shipped[name] or not _is_sound(notebook, nbformat):
            raise HTTPError(403, CHANGED)
        _ = handler.xsrf_token  # sets the cookie without which leaving the page could not stop its kernel
        notebook.cells = in_reading_order(
            [cell for cell in notebook.cells if not {"check", "notebook"} & set(cell.metadata.get("tags", []))]
        )
        return notebook

    return prepare


def page_settings(config: dict[str, Any], **_: Any) -> dict[str, Any]:
    """Return a page's settings: the names of all workbooks for its bar, and no addresses of other computers.

    Formulas are set by what is installed here.
    """
    names = {file: file.removesuffix(".ipynb").replace("_", " ") for file in SHIPPED}
    return {**config, "mathjaxConfig": None, "fullMathjaxUrl": None, "mosaicWorkbooks": names}


def learners_page(config: dict[str, Any], learner: str) -> dict[str, Any]:
    """Return the settings of a page in a class: with the learner's name, without JupyterLab and ways to the teacher's workbooks."""
    config = page_settings(config)
    names = {file: name for file, name in config["mosaicWorkbooks"].items() if file in LEARNERS}
    return {
        **config,
        "mosaicWorkbooks": names,
        "mosaicTeachers": sorted(SHIPPED.keys() - LEARNERS),
        "mosaicLearner": learner,
    }


def _is_sound(notebook: Any, nbformat: Any) -> bool:
    """Tell whether a notebook is well formed: one that is not would never come to its end."""
    try:
        nbformat.validate(notebook)
    except nbformat.ValidationError:
        return False
    return True
