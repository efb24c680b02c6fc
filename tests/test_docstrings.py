"""What is public says what it is; where a docstring lists parameters, they are those of the signature."""

import importlib
import inspect
import re
from pathlib import Path

import pytest
from numpydoc.docscrape import NumpyDocString

PACKAGE = Path(__file__).parents[1] / "mosaiclib"
SKIPPED = {"pages", "__main__.py", "lessons"}
MODULES = sorted(
    ".".join(("mosaiclib", *p.relative_to(PACKAGE).with_suffix("").parts))
    for p in PACKAGE.rglob("*.py")
    if not SKIPPED & set(p.relative_to(PACKAGE).parts) and p.stem != "__init__"
)


def _public():
    for name in MODULES:
        module = importlib.import_module(name)
        for each in getattr(module, "__all__", ()):
            thing = getattr(module, each)
            if (inspect.isfunction(thing) or inspect.isclass(thing)) and thing.__module__ == name:
                yield pytest.param(thing, id=f"{name.removeprefix('mosaiclib.')}.{each}")


PUBLIC = list(_public())


def named(parameters):
    for parameter in parameters:
        yield from (part.strip().lstrip("*") for part in parameter.name.split(","))


@pytest.mark.parametrize("thing", PUBLIC)
def test_what_is_public_says_what_it_is(thing):
    assert thing.__doc__, f"{thing.__name__} says nothing"
    assert re.match(r"\S.*[.:,;]", inspect.cleandoc(thing.__doc__), re.DOTALL), (
        f"{thing.__name__} has no first sentence"
    )


@pytest.mark.parametrize("thing", PUBLIC)
def test_a_long_form_agrees_with_the_signature(thing):
    doc = NumpyDocString(inspect.cleandoc(thing.__doc__))
    if not doc["Parameters"]:
        return
    wanted = [p.lstrip("*") for p in inspect.signature(thing).parameters if p not in ("self", "cls", "_")]
    told = list(named(doc["Parameters"])) + list(named(doc["Other Parameters"]))
    together = any(re.match(r"(see|as) ", p.type) for p in doc["Parameters"])
    assert together or told == wanted, f"{thing.__name__}: told {told}, takes {wanted}"
