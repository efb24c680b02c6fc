"""The one way a lesson looks and behaves on the page; with `handles` the only room that uses ipywidgets."""

from mosaiclib.lesson.asking import Questions
from mosaiclib.lesson.pages import Lesson, Parts

__all__ = ["Lesson", "Parts", "Questions"]
