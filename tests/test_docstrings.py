"""Docstrings and signatures agree, and say units and errors."""

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
def test_docstring_agrees_with_signature(thing):
    assert thing.__doc__, f"{thing.__name__} says nothing"
    doc = NumpyDocString(inspect.cleandoc(thing.__doc__))
    assert doc["Summary"], f"{thing.__name__} has no first sentence"
    if not doc["Parameters"]:
        return
    try:
        wanted = [p.lstrip("*") for p in inspect.signature(thing).parameters if p not in ("self", "cls", "_")]
    except ValueError:
        return
    told = list(named(doc["Parameters"])) + list(named(doc["Other Parameters"]))
    together = any(re.match(r"(see|as) ", p.type) for p in doc["Parameters"])
    assert together or not wanted or told == wanted, f"{thing.__name__}: told {told}, takes {wanted}"


@pytest.mark.parametrize("thing", [p for p in PUBLIC if inspect.isfunction(p.values[0])])
def test_functions_tell_what_comes_back(thing):
    doc = NumpyDocString(inspect.cleandoc(thing.__doc__))
    gives = inspect.signature(thing).return_annotation
    if gives in (None, inspect.Signature.empty, "None") or not doc["Parameters"]:
        return
    assert doc["Returns"] or doc["Yields"], f"{thing.__name__} does not tell what it returns"
