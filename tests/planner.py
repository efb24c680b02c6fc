"""The planner of workbook 06 as one page: what all its parts tell of a plan."""

from mosaiclib.lessons import lessons, w06_plan, w06_settings


def told(plan):
    """Return the rows of every part for a plan, and the headlines of all of them, a line each."""
    result = w06_plan.compute(w06_settings.settings_of(plan))
    parts = lessons("06").values()
    return [row for part in parts for row in part.report(result)], "\n".join(
        str(part.summary(result)) for part in parts
    )
