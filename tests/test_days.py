"""A plan on its days: hand-made calendars, clocks that change, ticks that move the rest, and the file read back by another library."""

import zipfile
from datetime import date, datetime, timedelta

import pytest
import vobject

from mosaiclib.errors import MosaicError
from mosaiclib.files import WRITTEN
from mosaiclib.job import Plan, command, work_out
from mosaiclib.job.days import calendar_bytes, day_rows, days_of, end_words, steps_of
from mosaiclib.job.sittings import instant, local, read_holidays, read_zone, sittings
from mosaiclib.reference import DATA

PARIS = read_zone("Europe/Paris")
SATURDAYS = [{"day": "Saturday", "begin": "09:00", "end": "12:00"}]
EVENINGS = [{"day": "Tuesday", "begin": "18:30", "end": "20:30"}]


def plan_with(glass=None, **days):
    """A pane of 4 x 3 tiles, planned from a Monday on."""
    pane = {"kind": "pane", "name": "pane", "width": 86.0, "height": 64.0}
    return Plan.made(
        name="small",
        glass=[glass or pane],
        tile={"side": 20.0, "thickness": 4.0, "colours": [{"name": "clear"}, {"name": "blue"}]},
        joint={"wanted": 2.0, "least": 1.5, "greatest": 2.5},
        days={"start": "2027-03-01", "sittings": SATURDAYS} | days,
    )


def planned(**days):
    return days_of(work_out(plan_with(**days)))


def begin_of(days, task):
    return days.at(days.usual.begin_of(task))


# --- the hours there are -------------------------------------------------------------------------------------


def test_a_month_by_hand():
    # March 2027 begins on a Monday: Tuesdays 2, 9, 16, 23, 30, Saturdays 6, 13, 20, 27
    weekly = [("Tuesday", "18:30", "20:30"), ("Saturday", "9:00", "12:00")]
    found = sittings(weekly, date(2027, 3, 1), 31, read_holidays(["2027-03-08 to 2027-03-14", "2027-03-23"]))
    assert [local(begin, read_zone("")).day for begin, _ in found] == [2, 6, 16, 20, 27, 30]
    assert {end - begin for begin, end in found} == {120, 180}


def test_the_night_in_which_clocks_change():
    # 28 March 2027, 2:00 becomes 3:00 in Paris: from 1:00 to 4:00 on the clock are two hours; in October four
    for day, hours in ((date(2027, 3, 28), 2), (date(2027, 10, 31), 4)):
        ((begin, end),) = sittings([("Sunday", "01:00", "04:00")], day, 1, zone=PARIS)
        assert end - begin == hours * 60
    assert sittings([("Sunday", "02:00", "02:30")], date(2027, 3, 28), 8, zone=PARIS)[-1][1] > 0
    # a day of 24 hours after Saturday at 10:00 is Sunday at 11:00
    wait = instant(datetime(2027, 3, 27, 10), PARIS) + 24 * 60
    assert local(wait, PARIS) == datetime(2027, 3, 28, 11)


def test_sittings_that_overlap_are_one():
    found = sittings([("Monday", "9:00", "11:00"), ("Monday", "10:00", "12:00")], date(2027, 3, 1), 7)
    assert [end - begin for begin, end in found] == [180]


@pytest.mark.parametrize(
    ("days", "said"),
    [
        ({"sittings": []}, "no hours to work in"),
        ({"holidays": ["2027-01-01 to 2036-12-30"]}, "leave no sitting"),
        ({"holidays": ["2027-03-08 to 2027-03-01"]}, "must end after it begins"),
        ({"holidays": ["Christmas"]}, "is not a day"),
        ({"start": "1 March"}, "is not a day"),
        ({"zone": "Mars/Olympus"}, "no zone of clocks"),
        ({"sittings": [{"day": "Monday", "begin": "20:30", "end": "18:30"}]}, "must end after it begins"),
        ({"sittings": [{"day": "Monday", "begin": "late", "end": "18:30"}]}, "is not a time of day"),
        ({"sittings": [{"day": "Someday", "begin": "9:00", "end": "18:30"}]}, "Monday"),
        ({"rates": {"glue": 0.0}}, "over 0"),
        ({"rates": {"glue": -1.0}}, "over 0"),
        ({"rates": {"sing": 1.0}}, "glue"),
        ({"hands": 0}, "at least 1"),
        ({"sittings": [{"day": "Monday", "begin": "9:00", "end": "9:15"}]}, "in one go and cannot be stopped"),
        ({"done": [{"task": "pane: fill and wipe", "at": "2027-03-06"}]}, "comes before it"),
        ({"done": [{"task": "sing", "at": "2027-03-06"}]}, "no task called"),
        ({"done": [{"task": "pane: glue", "at": "soon"}]}, "is not a day"),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence(days, said):
    with pytest.raises(MosaicError, match=said) as wrong:
        planned(**days)
    assert str(wrong.value).endswith(".") and not str(wrong.value).endswith("..")


def test_an_adhesive_that_is_ruled_out_or_never_cures_has_no_days():
    for family, said in (("hot melt", "ruled out"), ("UV-curing acrylate", "no day can be told")):
        record = plan_with().model_dump(mode="json")
        record["adhesive"] |= {"family": family, "lamp": "no"}
        with pytest.raises(MosaicError, match=said):
            days_of(work_out(Plan.made(**record)))


# --- a plan on its days ------------------------------------------------------------------------------------------


def test_a_small_pane_on_saturdays_by_hand():
    days = planned()
    # all is glued on the first Saturday; a day's wait ends on a Sunday, so it is filled a week later, the haze is off the same day
    assert begin_of(days, "pane: glue").date() == date(2027, 3, 6)
    assert begin_of(days, "pane: fill and wipe") == datetime(2027, 3, 13, 9)
    assert begin_of(days, "pane: polish off the haze").date() == date(2027, 3, 13)
    # cured through (10/2.5)^2 = 16 days after the gluing, whatever the sittings
    use = days.usual.end_of("pane: first use")
    assert use - days.usual.end_of("pane: glue") == 16 * 24 * 60
    assert days.usual.proven


def test_waits_are_held_and_filling_is_never_cut():
    days = days_of(work_out(Plan.load(DATA / "example_plan.json")))
    for step in days.steps:
        mine = [one for one in days.runs() if one.task == step.name]
        assert len(mine) == 1 or not step.whole
        for before, wait in step.after.items():
            assert days.usual.begin_of(step.name) >= days.usual.end_of(before) + 60 * wait.usual - 1
        assert all(
            any(low <= one.begin and one.end <= high for low, high in days.hours) for one in mine if one.end > one.begin
        )
    assert any(len([one for one in days.runs() if one.task == step.name]) > 1 for step in days.steps)
    least, most = days.ends
    assert least <= days.usual.end <= most


def test_a_tick_that_comes_late_moves_the_rest():
    first = planned()
    glued = "pane: glue"
    before = ["pane: clean and degrease", "pane: print and tape the guide", "pane: lay out", glued]
    late = planned(start="2027-03-27", done=[{"task": task, "at": "2027-03-27 11:00"} for task in before])
    moved = begin_of(late, "pane: fill and wipe") - begin_of(first, "pane: fill and wipe")
    assert moved == timedelta(days=21, minutes=8)  # the mask too, as the morning is over an hour after 11:00
    assert late.usual.end - first.usual.end > 20 * 24 * 60
    assert {row.verdict for row in day_rows(late) if row.label.endswith(glued)} == {"done"}


def test_nothing_that_is_left_lies_before_the_last_tick():
    # the first day is long past, and what is ticked holds nothing else up
    done = [{"task": "pane: clean and degrease", "at": "2027-04-24 11:00"}]
    days = planned(done=done)
    tick = instant(datetime(2027, 4, 24, 11), read_zone(""))
    left = {step.name: days.usual.begin_of(step.name) for step in days.steps if step.name not in days.done}
    assert "pane: lay out" in left and min(left.values()) >= tick


@pytest.mark.parametrize("done", [[], [{"task": "cut the pieces", "at": "2027-03-09 20:00"}]])
def test_what_may_wait_is_told_from_when_it_is_planned(done):
    # a task begins at the latest so early that its work and the wait after it end before the latest begin of what follows
    record = plan_with(sittings=EVENINGS, done=done).model_dump(mode="json")
    record["joint"] |= {"edge": "cut"}
    record["glass"][0] |= {"width": 75.0}  # so that pieces are cut
    days = days_of(work_out(Plan.made(**record)))
    left = [step for step in days.steps if step.name not in days.done]
    latest = {step.name: days.usual.begin_of(step.name) + days.slack[step.name] for step in left}
    assert min(days.slack[name] for name in latest) == 0
    for step in left:
        for before, wait in step.task(1).after.items():
            work = next(one.task(1).work for one in days.steps if one.name == before)
            assert before in days.done or latest[before] + work + wait <= latest[step.name]
    told = next(row.value for row in day_rows(days) if row.label.endswith("cut the pieces"))
    assert not done or told == "Tue 9 Mar 2027, 20:00"


def test_more_hours_and_more_hands_are_not_later():
    example = Plan.load(DATA / "example_plan.json")

    def end(**days):
        part = example.days.model_dump(mode="json") | {"start": "2027-03-01"} | days
        return days_of(work_out(Plan.made(**example.model_dump(mode="json") | {"days": part}))).usual.end

    evening, weekend = end(sittings=EVENINGS), end(sittings=SATURDAYS)
    assert end(sittings=[*EVENINGS, *SATURDAYS]) <= min(evening, weekend)
    assert end(sittings=EVENINGS, hands=2) <= evening


def test_a_colder_room_waits_longer():
    record = plan_with().model_dump(mode="json")
    cold = Plan.made(**record | {"adhesive": record["adhesive"] | {"temperature": 8.0}})
    assert days_of(work_out(cold)).usual.end > planned().usual.end


def test_own_times_stand_above_the_table():
    step = {one.name: one for one in steps_of(work_out(plan_with(rates={"glue": 2.0})))}
    assert step["pane: glue"].work.band == (24.0,) * 3  # twelve tiles


def test_without_a_first_day_weeks_are_counted():
    days = planned(start="")
    assert days.words(days.usual.begin_of("pane: glue")).startswith("week 1, Sat")
    assert "week" in end_words(days)
    with pytest.raises(MosaicError, match="first day"):
        calendar_bytes(days)


# --- the calendar's file -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("zone", ["", "Europe/Paris", "America/New_York"])
def test_the_file_is_read_back_by_another_library(zone):
    days = planned(zone=zone)
    read = vobject.readOne(calendar_bytes(days).decode("utf-8"))
    events = {event.summary.value: event for event in read.vevent_list}
    assert len({event.uid.value for event in read.vevent_list}) == len(read.vevent_list)
    fill = events["small: pane: fill and wipe"]
    at = fill.dtstart.value
    assert at.replace(tzinfo=None) == begin_of(days, "pane: fill and wipe")
    assert fill.dtend.value - at == timedelta(
        minutes=days.usual.end_of("pane: fill and wipe") - days.usual.begin_of("pane: fill and wipe")
    )
    if zone:
        assert at.utcoffset() == begin_of(days, "pane: fill and wipe").replace(tzinfo=read_zone(zone)).utcoffset()
    assert "Look:" in events["small: Wait over: pane: fill and wipe"].description.value


def test_the_same_plan_gives_the_same_file():
    assert calendar_bytes(planned()) == calendar_bytes(planned())


def test_a_plan_with_a_calendar_is_written_again_over_itself_and_taken_away_whole(tmp_path):
    worked = work_out(plan_with())
    command.write(worked, tmp_path)
    made = {path.name for path in command.write(worked, tmp_path)}
    assert {"days.ics", "days.pdf", "pane.pdf"} <= made
    with zipfile.ZipFile(tmp_path / "everything.zip") as packed:
        assert set(packed.namelist()) == made - {"everything.zip", WRITTEN}
        assert packed.read("days.ics") == (tmp_path / "days.ics").read_bytes()
