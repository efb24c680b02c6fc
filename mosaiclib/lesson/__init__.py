"""The one way a lesson looks and behaves on the page; with `handles` the only room that uses ipywidgets."""

from mosaiclib.lesson.page import Lesson, Parts
from mosaiclib.lesson.questions import Questions

__all__ = ["Lesson", "Parts", "Questions"]
