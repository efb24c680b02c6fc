"""A class planned: kits and spares that add up, sessions that hold every wait, and what is refused, checked by other ways of counting."""

import dataclasses
import datetime
import itertools
import json
import math
import re

import icalendar
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import nbinom, norm, triang

from mosaiclib.course import Class, plan_class, prepare
from mosaiclib.course.calendar import calendar_bytes
from mosaiclib.course.groups import Group, groups_of
from mosaiclib.course.hands import least_adults, quick, slow, time_of
from mosaiclib.course.kits import alone_of, spares_of
from mosaiclib.course.lists import kit_list, session_list, shopping_list, table_list
from mosaiclib.course.sessions import usable_at
from mosaiclib.errors import MosaicError
from mosaiclib.job.breakage import spoilt
from mosaiclib.job.days import steps_of
from mosaiclib.job.overview import plan_waits
from mosaiclib.job.packs import packs_of
from mosaiclib.job.worktime import Effort
from mosaiclib.reference import DATA, value

EXAMPLE = Class.load(DATA / "example_class.json")
ZONE = datetime.timezone(datetime.timedelta(hours=1))  # Paris in January and February


def changed(**parts):
    """Return the example class with some parts changed."""
    return Class.made(**(EXAMPLE.model_dump(mode="json") | parts))


def met(**parts):
    """Return the example class with its sessions changed."""
    return changed(sessions=EXAMPLE.sessions.model_dump(mode="json") | parts)


def evenings(begin, end, count=5):
    return met(sittings=[{"day": "Tuesday", "begin": begin, "end": end}], count=count)


def made_by(*makers):
    """Return the example class with other numbers of makers, of the window panel, the garden panel and the jar."""
    return changed(
        variants=[
            variant.model_dump(mode="json") | {"makers": count}
            for count, variant in zip(makers, EXAMPLE.variants, strict=True)
        ]
    )


def with_a_planter(**parts):
    """Return the example class with a vessel of four sides besides, which three make; it is turned from side to side."""
    record, plan = EXAMPLE.model_dump(mode="json"), json.loads((DATA / "example_plan.json").read_text())
    plan |= {"name": "planter", "glass": [one for one in plan["glass"] if one["name"] == "planter"]}
    return changed(variants=[*record["variants"][:2], {"makers": 3, "plan": plan}], **parts)


HOLDS = {
    "as it is": EXAMPLE,
    "half the class missing": made_by(4, 2, 0),
    "one more variant": made_by(6, 3, 3),
    "a vessel that is turned, with longer evenings": with_a_planter(
        sessions=evenings("18:00", "21:45", 7).sessions.model_dump(mode="json")
    ),
    "a cold room, and six evenings": changed(
        temperature=10.0, humidity=0.4, sessions=met(count=6).sessions.model_dump(mode="json")
    ),
    "an evening lost, the blanks cut right": changed(
        ahead="all pieces", sessions=met(cancelled=["2027-01-26"]).sessions.model_dump(mode="json")
    ),
    "90-minute sessions, ten of them": evenings("18:30", "20:00", 10),
    "children": changed(youngest=9, helpers=2),
    "nothing cut ahead": changed(ahead="nothing", sessions=met(count=9).sessions.model_dump(mode="json")),
    "two afternoons a week": met(
        count=6,
        sittings=[
            {"day": "Saturday", "begin": "13:00", "end": "17:00"},
            {"day": "Tuesday", "begin": "18:30", "end": "21:15"},
        ],
    ),
}
each_class = pytest.mark.parametrize("klass", HOLDS.values(), ids=HOLDS)


# --- sessions, against an independent check ---------------------------------------------------------------


def of_piece(course, group):
    """Return what is done for the piece of a group, in the order of time, with the session it is in."""
    done = [(session, one) for session in course.sessions for one in session.work if one.piece == group.name]
    return sorted(done, key=lambda each: each[1].begin)


def faults(course):
    """Return every promise that sessions break, counted anew from the waits of the adhesive and from the hours as typed."""
    return [*in_hours(course), *whole_work(course), *waits_held(course), *in_the_calendar(course)]


def in_hours(course):
    for session in course.sessions:
        for group in course.groups:
            mine = [one for one in session.work if one.piece == group.name]
            if any(one.begin < session.opens or one.end > session.closes for one in mine):
                yield f"work of {group.name} outside session {session.number}"
            if any(a.end > b.begin for a, b in itertools.pairwise(mine)):
                yield f"{group.name} is at two things at once in session {session.number}"
            if session.taken(group.name)[0] > session.minutes:
                yield f"more work than time in session {session.number}"
        if session.end - session.begin - session.minutes < 35:  # setting up, showing and clearing up
            yield f"no time to set up and clear up in session {session.number}"
    if course.sessions[0].opens - course.sessions[0].begin < 40:
        yield "no time for the safety talk"


def whole_work(course):
    """Every step of the plan is there, as long as the slowest third takes, and in one go where it must be."""
    for group in course.groups:
        spent = {}
        for _, one in of_piece(course, group):
            spent[one.step] = spent.get(one.step, 0) + one.slow
        for step in steps_of(group.worked):
            if step.name == "cut the pieces" or step.name.endswith("first use"):
                continue
            least = slow(step.work) - 1e-6
            if spent.get(step.name, 0) < least:
                yield f"{step.name} has {spent.get(step.name, 0)} of {least:.0f} minutes"
        for piece in group.worked.pieces:
            fills = [one for _, one in of_piece(course, group) if one.step == f"{piece.name}: fill and wipe"]
            if len(fills) != 1 or not fills[0].ends or fills[0].end - fills[0].begin != fills[0].slow:
                yield f"{piece.name} is not filled and wiped in one go"


def waits_held(course):
    """The longest of each wait lies between what is done, in minutes."""
    for group in course.groups:
        waits = {step: math.floor(60 * wait.most) for step, wait in plan_waits(group.worked).items()}
        for piece in group.worked.pieces:
            times = {}
            for _, one in of_piece(course, group):
                begin, end = times.get(one.step, (one.begin, one.end))
                times[one.step] = min(begin, one.begin), max(end, one.end)

            def at(what, end, times=times, piece=piece):
                return times[f"{piece.name}: {what}"][end]

            glues = sorted(span for name, span in times.items() if name.startswith(f"{piece.name}: glue"))
            if piece.glass.has_inside:
                for before, after in itertools.pairwise(glues):
                    if after[0] - before[1] < waits["turn"]:
                        yield f"{piece.name} is turned while wet"
            last = glues[-1][1]
            if at("fill and wipe", 0) - last < waits["fill"]:
                yield f"{piece.name} is filled too early"
            if at("polish off the haze", 0) - at("fill and wipe", 1) < 24 * 60:
                yield f"the haze of {piece.name} is polished wet"
            if at("look over and pack", 0) - last < waits["handle"]:
                yield f"{piece.name} is carried too early"
            if group.worked.fillers[0].powder and at("look over and pack", 0) - at("fill and wipe", 1) < 48 * 60:
                yield f"{piece.name} goes home before its filler has hardened"
            if usable_at(group, course.sessions) - last < waits["wash"]:
                yield f"{piece.name} is used too early"


def in_the_calendar(course):
    """Each session is on a weekday and at hours that were typed, on no day that is off."""
    part = course.klass.sessions
    off = {datetime.date.fromisoformat(day) for day in (*part.holidays, *part.cancelled)}
    typed = {(one.day, one.begin, one.end) for one in part.sittings}
    for session in course.sessions:
        begin, end = (datetime.datetime.fromtimestamp(60 * at, ZONE) for at in (session.begin, session.end))
        if (f"{begin:%A}", f"{begin:%H:%M}", f"{end:%H:%M}") not in typed or begin.date() in off:
            yield f"session {session.number} is at {begin}"
    if len(course.sessions) != part.count - len(part.cancelled):
        yield "not as many sessions as were asked for"


@each_class
def test_sessions_keep_their_promises(klass):
    assert list(faults(plan_class(klass))) == []


def test_the_check_finds_what_is_wrong():
    course = plan_class(EXAMPLE)
    early = plan_class(EXAMPLE)
    *first, fourth, last = early.sessions
    shift = fourth.work[0].end - first[-1].closes
    moved = [dataclasses.replace(one, begin=one.begin - shift, end=one.end - shift) for one in fourth.work]
    object.__setattr__(early, "sessions", (*first, dataclasses.replace(fourth, work=tuple(moved)), last))
    told = " ".join(faults(early))
    assert "outside session" in told and "filled too early" in told
    object.__setattr__(course, "sessions", course.sessions[:-1])
    with pytest.raises(KeyError):
        list(waits_held(course))


REFUSED = {
    "a vessel that is turned": (with_a_planter(), "planter: ", r"\d sessions"),
    "jars alone, in three evenings": (
        changed(
            variants=made_by(0, 0, 9).model_dump(mode="json")["variants"],
            sessions=met(count=3).sessions.model_dump(mode="json"),
        ),
        "haze",
        r"4 sessions",
    ),
    "a cold room": (changed(temperature=10.0, humidity=0.4), "too fresh", r"6 sessions"),
    "an evening lost": (met(cancelled=["2027-01-26"]), "haze", r"5 sessions .*all pieces cut ahead"),
    "90-minute sessions": (evenings("18:30", "20:00"), "no place in 5 sessions", r"75 minutes longer"),
    "children without a helper": (changed(youngest=9, helpers=0), "left unwiped", r"1 helper, who glues and fills"),
    "one session": (met(count=1), "no place in 1 session:", r"5 sessions"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_is_refused_with_the_nearest_that_works(name):
    klass, why, works = REFUSED[name]
    with pytest.raises(MosaicError) as wrong:
        plan_class(klass)
    assert why in str(wrong.value) and re.search(works, str(wrong.value)), str(wrong.value)
    assert str(wrong.value).endswith(".")
    assert prepare(klass).kits, "kits and shopping stand all the same"


def test_the_nearest_plans_do_work_and_are_the_nearest():
    plan_class(evenings("18:30", "20:00", 10))
    plan_class(evenings("18:30", "21:15"))  # 75 minutes longer
    for short in (evenings("18:30", "20:00", 9), evenings("18:30", "21:00")):
        with pytest.raises(MosaicError):
            plan_class(short)


def test_filler_is_never_left_unwiped():
    with pytest.raises(MosaicError, match="left unwiped"):
        plan_class(evenings("18:30", "19:30", 40))


def test_no_time_for_work_is_said():
    with pytest.raises(MosaicError, match="leave none for work"):
        plan_class(evenings("18:30", "19:05"))


def test_a_class_whose_days_are_all_cancelled_is_refused():
    with pytest.raises(MosaicError, match="cancelled"):
        plan_class(met(count=1, cancelled=["2027-01-12"]))


def test_children_get_all_cut_and_adults_glue_for_them():
    klass = HOLDS["children"]
    course = plan_class(klass)
    assert all(group.ahead == "all pieces" and not group.own_cutting.usual for group in course.groups)
    alone = plan_class(changed(ahead="all pieces"))
    for group, other in zip(course.groups, alone.groups, strict=True):
        mine, theirs = (
            sum(one.slow for _, one in of_piece(each, which) if ": glue" in one.step)
            for each, which in ((course, group), (alone, other))
        )
        # 12 learners' work shared by 3 adults, who take 0.6 of a beginner's time
        assert mine == pytest.approx(theirs * 12 / 3 * 0.6, abs=3)
    assert any("adult" in note for note in course.notes)


def test_too_few_adults_are_told():
    assert "2 helpers lacking" in " ".join(prepare(changed(youngest=9, helpers=0)).notes)
    assert "1 helper lacking" in " ".join(prepare(changed(helpers=0)).notes)
    assert not prepare(EXAMPLE).notes
    assert [least_adults(n, children=False) for n in (1, 6, 7, 12, 13)] == [1, 1, 2, 2, 3]


def test_what_the_teacher_does_between_is_in_time():
    course = plan_class(EXAMPLE)
    slides = next(one for one in course.between if "slides" in one.what)
    assert course.sessions[0].begin - slides.by == 28 * 24 * 60
    weighed = [one for one in course.between if "weigh the powder" in one.what]
    fills = [s.number for s in course.sessions for one in s.work if "fill and wipe" in one.step]
    assert sorted(one.after + 1 for one in weighed) == sorted(fills)
    assert any("blank paper form" in one.what for one in course.between)


# --- hands ------------------------------------------------------------------------------------------------


@given(st.floats(0, 50), st.floats(0, 50), st.floats(0, 50), st.floats(0, 1))
def test_hands_follow_the_triangular_law(least, more, most, share):
    """Outside check: scipy's triangular law."""
    band = Effort(least, least + more, least + more + most)
    if more + most > 1e-3:
        law = triang(more / (more + most), loc=least, scale=more + most)
        assert time_of(share, band) == pytest.approx(law.ppf(share), abs=1e-6)


def test_the_slowest_third_takes_longer_than_two_thirds():
    work = Effort(1, 2, 4)
    assert quick(work) < work.usual < slow(work) < work.most
    assert time_of(2 / 3, work) < slow(work)


# --- kits, spares and what is bought ------------------------------------------------------------------------


@each_class
def test_every_line_adds_up(klass):
    ready = prepare(klass)
    for line in ready.shopping:
        assert line.kits + line.tables + line.spares + line.left == pytest.approx(line.owned + line.bought), line.item
        assert line.left >= -1e-9, line.item
        assert min(line.kits, line.tables, line.spares, line.bought) >= 0, line.item
    assert len({line.item for line in ready.shopping}) == len(ready.shopping)


@each_class
def test_kits_and_tables_hold_what_the_plans_take(klass):
    ready = prepare(klass)
    lines = {line.item: line for line in ready.shopping}
    assert sorted(n for table in ready.tables for n in table.learners) == list(range(1, klass.learners + 1))
    counts = [len(table.learners) for table in ready.tables]
    assert max(counts) - min(counts) <= 1
    glue = sum(len(group.makers) * group.worked.adhesive for group in ready.groups)
    assert lines["neutral-cure silicone"].tables == pytest.approx(glue)
    tiles = sum(line.kits for line in ready.shopping if line.unit == "tiles")
    each = {kit.group.name: sum(kit.tiles.values()) for kit in ready.kits}
    assert tiles == sum(each[group.name] * len(group.makers) for group in ready.groups)
    for table in ready.tables:
        for family, amount in table.adhesive.items():
            holds = {pack.name: pack.number for pack in packs_of("tube of adhesive", klass.variants[0].plan.packs)}
            assert sum(count * holds[name] for name, count in table.packs[family].items()) >= amount
    weighed = sum(one.recipe.volume for one in ready.portions)
    assert weighed >= sum(len(g.makers) * sum(r.volume for r in g.worked.fillers) for g in ready.groups) - 1e-6
    assert all(one.recipe.volume >= 60 - 1e-9 for one in ready.portions)
    for kit in ready.kits:
        assert kit.blanks["pieces"].sum() == kit.group.worked.count
        assert (kit.blanks["to_cut"] <= kit.blanks["pieces"]).all()


def test_nothing_that_cures_in_air_lies_in_a_kit():
    for line in prepare(EXAMPLE).shopping:
        assert not (line.kits and line.unit in ("mL", "kg")), line.item


def test_what_the_house_owns_is_not_bought():
    ready = prepare(changed(owns={"nippers": 12.0, "neutral-cure silicone": 310.0, "tiles, blue": 200.0}))
    lines = {line.item: line for line in ready.shopping}
    assert lines["nippers"].bought == lines["neutral-cure silicone"].bought == lines["tiles, blue"].bought == 0
    with pytest.raises(MosaicError, match="nothing called 'unicorns'"):
        prepare(changed(owns={"unicorns": 1.0}))


def test_a_class_shares_its_spares():
    """Twelve beginners need far fewer than twelve times one beginner's spares, and enough all the same."""
    groups = groups_of(EXAMPLE)
    shared, alone = spares_of(groups, 0.95), alone_of(groups, 0.95)
    assert sum(shared.values()) < 0.6 * sum(alone.values())
    assert all(shared[tile] <= alone[tile] for tile in shared)


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 20), st.integers(1, 60), st.floats(0.01, 0.5), st.floats(0.5, 0.99))
def test_pooled_spares_follow_one_negative_binomial_law(learners, pieces, chance, confidence):
    """Outside check: what n learners with r pieces each spoil is NB(n r, p) (Feller, volume 1, VI.8), by scipy's own law."""
    law = spoilt(np.ones(learners * pieces), np.full(learners * pieces, chance))
    assert law.within(confidence) == nbinom.ppf(confidence - 1e-13, learners * pieces, 1 - chance)


def test_pooled_spares_against_drawn_classes():
    """First principles: classes drawn piece by piece, each tried until it is good; a colour runs short no more often than told."""
    groups, draws, rng = groups_of(EXAMPLE), 3000, np.random.default_rng(5)
    spares = spares_of(groups, 0.95)
    for tile, spare in spares.items():
        lost = np.zeros(draws)
        for group in groups:
            table = group.worked.cutting.table
            mine = (table["colour"] == tile[0]).to_numpy()
            for share, chance in zip(table["share"].to_numpy()[mine], group.chances[mine], strict=True):
                tries = (
                    rng.negative_binomial(1, 1 - chance, size=(draws, len(group.makers)))
                    if chance
                    else np.zeros((draws, 1))
                )
                lost += share * tries.sum(axis=1)
        enough = (lost <= spare + 1e-9).mean()
        assert enough >= 0.95 - 3 * math.sqrt(0.95 * 0.05 / draws), tile


def test_normal_limit_of_pooled_spares():
    """For many learners the law goes to the normal one: mean n p/q and n p/q^2 its variance (Feller, volume 1, VI.8, from memory)."""
    n, p = 12 * 60, 0.1
    mean, spread = n * p / (1 - p), math.sqrt(n * p) / (1 - p)
    assert spoilt(np.ones(n), np.full(n, p)).within(0.95) == pytest.approx(mean + norm.ppf(0.95) * spread, abs=2)


def test_cutting_ahead_moves_work_and_breakage_to_the_house():
    worked = groups_of(EXAMPLE)[0].worked
    own, house, chances = zip(
        *(
            (g.own_cutting.usual, g.house_cutting.usual, g.chances.mean())
            for g in (Group((1, 2), worked, ahead) for ahead in ("nothing", "blanks", "all pieces"))
        ),
        strict=True,
    )
    assert own[0] > own[1] > own[2] == 0 == house[0] < house[1] < house[2]
    assert chances[0] > chances[1] > chances[2]


def test_the_fee_by_hand():
    """Sums by hand, as the rule says them."""
    klass = changed(fee={"room": 20.0, "teacher": 30.0, "helper": 10.0, "shared_by": 8, "margin": 0.25})
    ready = prepare(klass)
    present = 5 * 2.75
    ready_hours = (sum(g.house_cutting.usual for g in ready.groups) + 12 * value("course", "packing a kit").number) / 60
    materials = sum(line.cost for line in ready.shopping if line.cost is not None)
    whole = materials + 5 * 20 + 30 * (present + ready_hours) + 10 * 1 * present
    assert ready.fee.each == pytest.approx(whole * 1.25 / 8)
    for words in (f"{materials:.2f}", "25%", "8 who"):
        assert words in ready.fee.rule
    lines = {line.item: line for line in ready.shopping}
    assert lines["nippers"].cost == 4 * 14.0  # twelve are needed, eight are there
    assert lines["neutral-cure silicone"].cost == 3 * 6.0  # one small tube a table
    assert lines["tiles, blue"].cost == pytest.approx(100 * 0.36)


def test_what_has_no_price_is_told():
    ready = prepare(changed(prices={}))
    assert "nippers" in ready.fee.lacking and "apron" in ready.fee.lacking


# --- file and calendar ---------------------------------------------------------------------------------------


def test_a_class_comes_back_from_its_file(tmp_path):
    file = EXAMPLE.save(tmp_path / "class.json")
    assert Class.load(file) == EXAMPLE


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({"variants": []}, "must list at least 1"),
        ({"tables": 0}, "at least 1"),
        ({"ahead": "everything"}, "ahead"),
        ({"sessions": {"start": "12 January", "count": 5}}, "is not a day"),
        ({"learners": 12}, "is not a part of a class"),
    ],
)
def test_a_class_that_cannot_be_is_refused_in_a_sentence(parts, words):
    with pytest.raises(MosaicError) as wrong:
        changed(**parts)
    assert words in str(wrong.value)


def test_nobody_and_two_of_one_name_are_refused():
    with pytest.raises(MosaicError, match="from 1 to 60 learners"):
        made_by(0, 0, 0)
    twice = [variant.model_dump(mode="json") for variant in (EXAMPLE.variants[0], EXAMPLE.variants[0])]
    with pytest.raises(MosaicError, match="same name"):
        changed(variants=twice)


def test_the_file_has_no_place_for_anything_personal():
    """Names, ages one by one, allergies: the file has no field for them, and an unknown one is refused."""
    for field in ("names", "allergies", "learner_names", "asthma"):
        with pytest.raises(MosaicError, match="is not a part of a class"):
            changed(**{field: ["x"]})


def test_the_calendar_reads_back():
    course = plan_class(EXAMPLE)
    found = icalendar.Calendar.from_ical(calendar_bytes(course))
    events = {str(event["summary"]): event for event in found.walk("VEVENT")}
    assert len(events) <= len(course.sessions) + len(course.between)
    for session in course.sessions:
        event = events[f"{course.klass.name}: session {session.number}"]
        assert int(event.decoded("dtstart").timestamp()) == session.begin * 60
        assert int(event.decoded("dtend").timestamp()) == session.end * 60
        assert f"{event.decoded('dtstart'):%H:%M}" == "18:30"
    assert calendar_bytes(course) == calendar_bytes(plan_class(EXAMPLE))


def test_lists_say_what_the_records_say():
    course = plan_class(EXAMPLE)
    shop = shopping_list(course).iloc[:-1]
    gone = shop["kits"] + shop["tables"] + shop["spares"] + shop["left_over"]
    assert np.allclose(gone, shop["in_the_house"] + shop["to_buy"], atol=2e-3)
    assert shopping_list(course)["cost"].iloc[-1] == pytest.approx(shop["cost"].sum())
    kits = kit_list(course)
    assert kits["learner"].nunique() == 12
    assert kits["tiles"].sum() == shop.loc[shop["unit"] == "tiles", "kits"].sum()
    assert table_list(course)["table"].tolist() == [1, 2, 3]
    done = session_list(course)
    assert done["slow"].sum() == sum(one.slow for session in course.sessions for one in session.work)
