"""On the day: it opens at the next shot, tells the light and the minutes left, and draws again with every minute."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path

import pytest

from fieldplan.files.state import State, load_state, save_state
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.clock import Clock
from fieldplan.tui.desk import Desk

from .conftest import lines, text
from .test_terminal import Terminal

SMALL = (80, 24)
BERLIN = dt.timezone(dt.timedelta(hours=1))  # in March before the 28th, tz database
DIGITS = ("2", "1")


class Ticking:
    """A clock that stands until it is moved."""

    def __init__(self, time: str, date: str = "2027-03-14") -> None:
        self.now = dt.datetime.fromisoformat(f"{date}T{time}+01:00")

    def __call__(self) -> dt.datetime:
        return self.now

    def on(self, minutes: float) -> None:
        self.now += dt.timedelta(minutes=minutes)


@pytest.fixture
def dusk() -> Ticking:
    return Ticking("17:40:20")


async def test_at_most_four_keys_and_the_digits(desk: Desk) -> None:
    """g, Enter, the digits, Enter: the three figures of the new distance stand, and the plan holds it."""
    desk.go_now(Ticking("07:05")())
    app = FieldplanApp(desk, now=Ticking("07:05"))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("g", "enter", *DIGITS, "enter")
        assert desk.shot is not None and desk.shot.distance is not None and desk.shot.distance.typed == "21 m"
        shown = text(app)
        assert "heron at the reeds*  at 21 m  in 15 min" in shown and "ISO" in shown
        assert not app.page.typing
        assert sum("██" in line for line in lines(app)) == 15  # three figures of five rows


async def test_the_figures_follow_while_the_distance_is_typed_and_escape_restores(desk: Desk) -> None:
    app = FieldplanApp(desk, now=Ticking("07:05"))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("g")
        before = lines(app)
        await pilot.press("enter", "7", "0")
        assert "at 70 m" in text(app) and lines(app) != before
        await pilot.press("escape")
        assert lines(app) == before
        await pilot.press("up")
        assert desk.shot is not None and desk.shot.distance is not None and desk.shot.distance.typed == "26-32 m"
        await pilot.press("g")
        assert "body + lens" in text(app)


async def test_the_moment_is_told_on_the_day_and_on_no_other(desk: Desk, dusk: Ticking) -> None:
    app = FieldplanApp(desk, now=dusk)
    async with app.run_test(size=SMALL) as pilot:
        line = next(line for line in lines(app) if line.startswith("now 17:40"))
        assert re.search(r"EV [\d.]+-[\d.]+", line) and re.search(r"\d+-\d+ min left", line) and "one stop" in line
        dusk.on(24 * 60)
        await pilot.press("j")
        assert not any(line.startswith("now ") for line in lines(app))


async def test_it_draws_again_with_the_next_minute_and_waits_for_nothing_on_another_day(
    desk: Desk, dusk: Ticking
) -> None:
    app = FieldplanApp(desk, now=dusk)
    async with app.run_test(size=SMALL) as pilot:
        waiting = app._minute
        assert waiting is not None and 39.0 < desk.clock.to_next_minute_s() < 41.0
        await pilot.press("j")
        assert app._minute is waiting  # a key starts no second one
        dusk.on(1)
        app.next_minute()
        await pilot.pause()
        assert any(line.startswith("now 17:41") for line in lines(app))
        assert app._minute is not None and app._minute is not waiting
        dusk.on(24 * 60)
        await pilot.press("k")
        assert app._minute is None


async def test_the_minute_that_passes_leaves_a_text_being_typed_alone(desk: Desk, dusk: Ticking) -> None:
    app = FieldplanApp(desk, now=dusk)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("g", "enter", "4")
        dusk.on(1)
        app.next_minute()
        await pilot.press("0", "enter")
        assert desk.shot is not None and desk.shot.distance is not None and desk.shot.distance.typed == "40 m"


async def test_b_changes_between_the_light_now_and_the_light_planned(desk: Desk, dusk: Ticking) -> None:
    app = FieldplanApp(desk, now=dusk)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("g")
        assert "light as given" in text(app)  # the heron's light is written into the shot
        await pilot.press("b")
        assert "by the light now, 17:40" in text(app)
        await pilot.press("b")
        assert "light as given" in text(app)


async def test_a_given_light_that_is_not_the_light_now_is_doubted_when_the_shot_is_due(desk: Desk) -> None:
    desk.edit(desk.plan, lambda plan: plan.set(("shot", desk.shot_index, "light"), "EV 9"))
    for time, told in (("07:25", True), ("12:00", False)):
        app = FieldplanApp(desk, now=Ticking(time))
        async with app.run_test(size=SMALL) as pilot:
            await pilot.press("g")
            assert ("stops more: b" in text(app)) is told


async def test_the_clock_of_the_computer_against_that_of_the_site(desk: Desk) -> None:
    app = FieldplanApp(desk, now=Ticking("08:05:00"))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("z")
        shown = text(app)
        assert "at the site Sun 2027-03-14 08:05:00 UTC+01:00 Europe/Berlin" in shown and "UTC" in shown
        await pilot.press("enter", "1", "space", "h", "enter")
        assert desk.clock.ahead == dt.timedelta(hours=1)
        assert "07:05:00 UTC+01:00" in text(app) and "counts as 1 h ahead" in text(app)
        await pilot.press("up", "z", "n")
        assert desk.clock.ahead == dt.timedelta(minutes=61)
        assert "now 2027-03-14 07:04" in text(app) or "now 2027-03-14 06:04" in text(app)


def test_a_clock_that_is_wrong_or_set_to_another_zone_by_hand() -> None:
    """Ahead by 90 minutes: when it shows 10:00 the true time is 08:30."""
    clock = Clock(Ticking("10:00"), dt.timedelta(minutes=90))
    assert clock.now() == dt.datetime(2027, 3, 14, 8, 30, tzinfo=BERLIN)
    assert clock.computer() == dt.datetime(2027, 3, 14, 10, 0, tzinfo=BERLIN)


@pytest.mark.parametrize("odd", ["nonsense", None, True, 1e9, [1]])
def test_the_state_remembers_the_clock_and_nothing_absurd(tmp_path: Path, odd: object) -> None:
    path = tmp_path / "s.json"
    save_state(State(clock_ahead_s=-300.0), path)
    assert load_state(path).clock_ahead_s == -300.0
    path.write_text(json.dumps({"clock_ahead_s": odd}), encoding="utf-8")
    assert load_state(path).clock_ahead_s == 0.0


def test_it_opens_at_the_next_shot_on_the_day(plan_file: Path) -> None:
    """On a pseudo-terminal: whatever page was left, a plan for today opens on Shot at the shot that is next."""
    today = dt.datetime.now(dt.UTC).astimezone(dt.UTC)
    zone = "Etc/UTC"
    plan_file.write_text(
        f'fieldplan_plan = 1\ntitle = "t"\ndate = {today.date()}\n[site]\nname = "s"\ntime_zone = "{zone}"\n'
        '[[shot]]\nname = "first"\ntime = 00:00:00\ndistance = "10 m"\n'
        '[[shot]]\nname = "then"\ntime = 23:59:59\nsubject = "grey heron"\ndistance = "30 m"\nlight = "EV 12"\n',
        encoding="utf-8",
    )
    save_state(State(plan=str(plan_file), page="card", shot="first"))
    terminal = Terminal(plan_file)
    terminal.read(b"quit")
    assert b"[2 Shot]" in terminal.seen and b"[then]" in terminal.seen and b"then in" in terminal.seen
    os_write(terminal, b"g\r21\r")
    terminal.read(b"at 21 m")
    os_write(terminal, b"q")
    assert terminal.ended() == 0
    assert 'distance = "21 m"' in plan_file.read_text(encoding="utf-8")


def os_write(terminal: Terminal, keys: bytes) -> None:
    import os

    os.write(terminal.fd, keys)
