"""Quick answers on the spot keep what was planned, name the light they are for, and ask before a must is lost."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from fieldplan.pictures.cells import text_cells
from fieldplan.planner.rightnow import RightNow
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.desk import Desk
from fieldplan.tui.pages.answerrows import label_text
from fieldplan.tui.pages.nowlines import clock_rows, planned_text
from fieldplan.tui.pages.shotclock import ahead_of

from .conftest import text
from .test_form_keys import typed
from .test_on_the_day import BERLIN, SMALL, Ticking


def app_at(desk: Desk, clock: str) -> FieldplanApp:
    return FieldplanApp(desk, now=Ticking(clock))


async def test_a_distance_changed_at_a_glance_keeps_the_planned_one(desk: Desk) -> None:
    app = app_at(desk, "07:05")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("l", "g", "enter", "2", "1", "enter")
        shot = desk.shot
        assert shot is not None and shot.distance is not None and shot.planned_distance is not None
        assert (shot.distance.typed, shot.planned_distance.typed) == ("21 m", "25-31 m")
        await pilot.press("enter", "1", "9", "enter", "l")
        assert desk.shot is not None and desk.shot.planned_distance == shot.planned_distance
        entries = desk.plan.value.taken
        assert [e.planned_distance.typed for e in entries if e.planned_distance is not None] == ["25-31 m", "25-31 m"]
        await pilot.press("u", "u", "u")
        assert desk.shot is not None and desk.shot.planned_distance is None, "one undo for each change"


async def test_on_another_day_or_in_the_form_it_is_planning(desk: Desk) -> None:
    app = FieldplanApp(desk, now=lambda: dt.datetime(2027, 3, 13, 12, 0, tzinfo=dt.UTC))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("g", "enter", "2", "1", "enter")
        assert desk.shot is not None and desk.shot.planned_distance is None
    app = app_at(desk, "07:05")
    async with app.run_test(size=SMALL) as pilot:
        app.page.form.select_key("distance")
        await pilot.press("enter", "2", "2", "enter")
        assert desk.shot is not None and desk.shot.distance is not None
        assert desk.shot.distance.typed == "22 m" and desk.shot.planned_distance is None


async def test_what_if_names_its_light_and_takes_over_the_light_at_a_glance(desk: Desk) -> None:
    """The heron's light is given; b takes the light of now, and w then asks by that."""
    app = app_at(desk, "10:12")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("w")
        assert "as it is, light as given" in text(app)
        await pilot.press("escape", "g", "b", "w")
        assert "as it is, by the light now, 10:12" in text(app)
        before = desk.shot
        await pilot.press("c", "enter")
        assert desk.shot is not None and before is not None and desk.shot.light == before.light, "its light stays"
        assert desk.shot.distance != before.distance and desk.shot.planned_distance == before.distance


async def test_settings_for_another_light_are_logged_as_such(desk: Desk) -> None:
    app = app_at(desk, "10:12")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("l")
        entry = desk.plan.value.taken[-1]
        assert entry.note is not None and "not for 10:12" in entry.note and "e puts it right" in text(app)
        await pilot.press("g", "b", "l")
        assert desk.plan.value.taken[-1].note is None


async def test_a_word_the_learning_does_not_know_is_told(desk: Desk) -> None:
    app = app_at(desk, "07:05")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("l", "e")
        app.page.form.select_key("why")
        await pilot.press("enter", *typed("blurry"), "enter")
        assert '"blurry" is kept, and counts as none of' in text(app)
        app.page.form.select_key("sharp")
        await pilot.press("enter", *typed("yes"), "enter")
        app.page.form.select_key("why")
        await pilot.press("enter", *typed("shake"), "enter")
        assert "it counts as sharp" in text(app)


async def test_now_on_the_light_page_goes_to_the_next_shot(desk: Desk) -> None:
    desk.shot_at("heron at the reeds")
    app = app_at(desk, "17:40")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("3", "n")
        assert desk.shot is not None and desk.shot.name != "heron at the reeds"


async def test_the_true_time_sets_the_clock(desk: Desk) -> None:
    app = app_at(desk, "08:05")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("z")
        app.page.form.select_key("true_time")
        await pilot.press("enter", *typed("14:00"), "enter")
        assert desk.clock.ahead == dt.timedelta(hours=-5, minutes=-55)
        assert "counts as 5 h 55 min behind" in text(app)


@pytest.mark.parametrize(
    ("shown", "true", "minutes"),
    [((8, 5), (7, 0), 65), ((0, 10), (23, 50), 20), ((23, 50), (0, 10), -20), ((12, 0), (12, 0), 0)],
)
def test_the_nearer_way_round_the_clock_counts(shown: tuple[int, int], true: tuple[int, int], minutes: int) -> None:
    here = dt.datetime(2027, 3, 14, *shown, tzinfo=BERLIN)
    assert ahead_of(here, dt.time(*true)) == dt.timedelta(minutes=minutes)


def test_ahead_or_behind_is_said() -> None:
    here = dt.datetime(2027, 3, 14, 8, 0, tzinfo=BERLIN)
    told = [clock_rows(here, here, "Europe/Berlin", dt.timedelta(minutes=m))[-1] for m in (-355, 20)]
    assert "counts as 5 h 55 min behind" in told[0] and "counts as 20 min ahead" in told[1]
    assert planned_text(RightNow(here, None, None, True, 0.0, None)) == "now"


def test_rows_of_one_body_and_lens_stay_apart_on_a_narrow_screen(desk: Desk) -> None:
    answers = desk.answers()
    assert answers is not None
    labels = list(dict.fromkeys(a.label for a in answers.rigs))
    for width in (12, 14, 18, 24):
        for one in labels:
            shown = label_text(next(a for a in answers.rigs if a.label == one), width)
            assert text_cells(shown) <= width
    narrow = {label_text(a, 12) for a in answers.rigs if a.body == "full-frame body" and a.lens == "150-600"}
    assert len(narrow) == len({a.label for a in answers.rigs if a.body == "full-frame body" and a.lens == "150-600"})


async def test_an_empty_enter_leaves_the_folder_open(desk: Desk) -> None:
    app = app_at(desk, "07:05")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("1", "h", "enter")
        assert app.page.typing and "write the folder" in text(app)
        shots = len(desk.plan.value.shots)
        await pilot.press(*typed("/ac"))
        assert len(desk.plan.value.shots) == shots and app.page.form.line is not None
        await pilot.press("escape", "escape")
        assert not app.page.typing


async def test_the_dark_is_told_as_dark(desk: Desk, plan_file: Path) -> None:
    """EV -8 under a moon: tens of stops beyond any ceiling."""
    desk.edit(desk.plan, lambda plan: plan.set(("shot", desk.shot_index, "light"), "EV -8"))
    app = app_at(desk, "07:05")
    async with app.run_test(size=SMALL) as pilot:
        assert " dark " in text(app) and "too dark:" in text(app)
        await pilot.press("w")
        assert "over 6400" in text(app) or "over 3200" in text(app)
        await pilot.press("escape", "g")
        assert "too dark:" in text(app) and "000000" not in text(app)
