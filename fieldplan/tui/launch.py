"""Starts the full-screen face on a plan and ends it in good order, whatever ends it."""

from __future__ import annotations

import contextlib
import datetime as dt
import gc
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldplan.files.state import State
    from fieldplan.tui.desk import Desk

_PAGES = {"gear": 1, "shot": 2, "light": 3, "moon": 4, "card": 5}
_GARBAGE = (20_000, 50, 100)  # a collection of the old generations costs 15-35 ms, which a key would wait for
_ENVIRONMENT = {
    # Read by the toolkit and by pydantic when they are imported.
    "TEXTUAL_FPS": "240",
    "TEXTUAL_ANIMATIONS": "none",
    "PYDANTIC_DISABLE_PLUGINS": "__all__",
}


def run(plan: str | None, profile: str | None = None, plans: str | None = None, profiles: str | None = None) -> int:
    """Show a plan until the person leaves; returns the exit status. Raises FileProblem before the screen opens."""
    gc.disable()  # nothing made while starting is garbage; collecting among it takes a tenth of the time
    for name, value in _ENVIRONMENT.items():
        os.environ.setdefault(name, value)
    from fieldplan.files.state import load_state

    state = load_state()
    desk = open_desk(plan, profile, plans, profiles, state)
    same = bool(state.plan) and os.path.realpath(state.plan) == os.path.realpath(desk.plan.path)
    if same:
        desk.shot_at(state.shot)
    from fieldplan.tui.app import FieldplanApp

    def remember(page: int, skin: str) -> None:
        _remember(desk, page, skin)

    desk.clock.ahead = dt.timedelta(seconds=state.clock_ahead_s)
    today = desk.is_today()
    page = 2 if today or not same else _PAGES.get(state.page, 2)
    from fieldplan.tui.keeping import Keeper

    app = FieldplanApp(desk, page, state.theme or "plain", remember=remember)
    keeper = Keeper(desk)
    app.keep_aside = keeper.keep
    told = [lay_own_keys(desk), desk.go_now(desk.clock.now()) if today else ""]
    app.message = "; ".join(line for line in told if line)
    app.started = _collect_rarely
    result = app.run(mouse=False)
    if app.return_code:
        keeper.keep(app.page.form)
        print("What was not on disk is kept aside, and comes back when the plan is opened again.", file=sys.stderr)
        if app.fault is not None:
            raise app.fault
        return app.return_code
    desk.flush()
    remember(app.number, app.skin_name)
    keeper.close()
    for notice in desk.notices:
        print(notice)
    return result or 0


def lay_own_keys(desk: Desk) -> str:
    """Lay the person's keys over the built-in ones; what to tell where their table is not sound, and those stay."""
    from fieldplan.files.keytable import NAME
    from fieldplan.files.problems import FileProblem
    from fieldplan.tui.ownkeys import load_own_keys

    try:
        desk.keys = load_own_keys(desk.lists)
    except FileProblem as problem:
        return f"built-in keys in use: {str(problem).splitlines()[0]} (all of it: fieldplan check {NAME})"
    return ""


def _collect_rarely() -> None:
    """Leave out of every collection what was made while starting."""
    gc.freeze()
    gc.set_threshold(*_GARBAGE)
    gc.enable()


def open_desk(
    plan: str | None,
    profile: str | None = None,
    plans: str | None = None,
    profiles: str | None = None,
    state: State | None = None,
) -> Desk:
    """The plan (None: the last one, else the person's first, else a demo) and its profile, with half-typed texts.

    plans, profiles: folders to look in, where not the usual ones. Raises FileProblem.
    """
    from fieldplan.files.document import open_plan, open_profile
    from fieldplan.files.places import profiles_folder
    from fieldplan.opening import profile_path
    from fieldplan.tui.desk import Desk

    held = open_plan(_plan_path(plan, plans, state))
    gear = open_profile(profile_path(held.value, held.path, profile, profiles))
    if state is not None:
        held.drafts.update(state.drafts_for(held.path, held.digest))
        gear.drafts.update(state.drafts_for(gear.path, gear.digest))
    return Desk(held, gear, profiles_folder(profiles))


def _plan_path(plan: str | None, plans: str | None, state: State | None) -> Path:
    from fieldplan.files.places import file_at, find_plan, list_plans

    if plan is not None:
        return find_plan(plan, plans)
    if state is not None and state.plan and file_at(Path(state.plan)):
        return Path(state.plan)
    own = next((place.name for place in list_plans(plans) if not place.starter), "lake-and-chapel")
    return find_plan(own, plans)


def _remember(desk: Desk, page: int, skin: str) -> None:
    """Where the person is; what cannot be written is no reason to complain."""
    from fieldplan.files.problems import FileProblem
    from fieldplan.files.state import State, load_state, save_state

    state = load_state()  # as another window may have left it since
    names = {number: name for name, number in _PAGES.items()}
    shot, ahead_s = desk.shot, desk.clock.ahead.total_seconds()
    for document in desk.documents:
        state = state.with_drafts(document.path, document.digest, document.drafts)
    state = State(os.path.realpath(desk.plan.path), names[page], shot.name if shot else "", skin, ahead_s, state.drafts)
    with contextlib.suppress(FileProblem):
        save_state(state)
