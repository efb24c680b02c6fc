"""A class: kits, sessions, what to buy and what a place costs; bad input raises `MosaicError`."""

from mosaiclib.course.class_file import Class
from mosaiclib.course.course import Course, Prepared, plan_class, prepare, with_sessions

__all__ = ["Class", "Course", "Prepared", "plan_class", "prepare", "with_sessions"]
