"""Starts the full-screen face on a plan and ends it in good order, whatever ends it."""

from __future__ import annotations

import contextlib
import gc
import os
from pathlib import Path

from fieldplan.files.document import open_plan, open_profile
from fieldplan.files.places import find_plan, find_profile, list_plans, profiles_folder
from fieldplan.files.problems import FileProblem
from fieldplan.files.state import State, load_state, save_state
from fieldplan.tui.desk import Desk

_PAGES = {"gear": 1, "shot": 2, "light": 3, "moon": 4, "card": 5}
_GARBAGE = (20_000, 50, 100)  # collections of the old generations cost 15-35 ms; keys are answered between them


def open_desk(
    plan: str | None, profile: str | None = None, plans: str | None = None, profiles: str | None = None,
    state: State | None = None,
) -> Desk:  # fmt: skip
    """The plan (None: the last one, else the first demo) and its profile, with texts that were half typed.

    Raises FileProblem.
    """
    state = state or State()
    held = open_plan(_plan_path(plan, plans, state))
    if profile is None:
        gear_path = find_profile(held.value.profile or "two-bodies", relative_to=held.path, folder=profiles)
    else:
        gear_path = find_profile(profile, folder=profiles)
    gear = open_profile(gear_path)
    held.drafts.update(state.drafts_for(held.path, held.digest))
    gear.drafts.update(state.drafts_for(gear.path, gear.digest))
    return Desk(held, gear, profiles_folder(profiles))


def _plan_path(plan: str | None, plans: str | None, state: State) -> Path:
    if plan is not None:
        return find_plan(plan, plans)
    if state.plan and Path(state.plan).is_file():
        return Path(state.plan)
    known = list_plans(plans)
    return find_plan(next((place.name for place in known if not place.starter), "lake-and-chapel"), plans)


def run(plan: str | None, profile: str | None = None, plans: str | None = None, profiles: str | None = None) -> int:
    """Show a plan until the person leaves; returns the exit status. Raises FileProblem before the screen opens."""
    state = load_state()
    desk = open_desk(plan, profile, plans, profiles, state)
    same = os.path.realpath(state.plan) == os.path.realpath(desk.plan.path) if state.plan else False
    if same:
        desk.shot_at(state.shot)
    # The toolkit reads both when it is imported.
    os.environ.setdefault("TEXTUAL_FPS", "240")
    os.environ.setdefault("TEXTUAL_ANIMATIONS", "none")
    from fieldplan.tui.app import FieldplanApp

    def remember(page: int, skin: str) -> None:
        _remember(state, desk, page, skin)

    page = _PAGES.get(state.page, 2) if same else 2
    app = FieldplanApp(desk, page, state.theme or "plain", remember=remember)
    gc.freeze()
    gc.set_threshold(*_GARBAGE)
    result = app.run(mouse=False)
    desk.flush()
    remember(app.number, app.skin_name)
    for notice in desk.notices:
        print(notice)
    return result or 0


def _remember(state: State, desk: Desk, page: int, skin: str) -> None:
    """Where the person is; what cannot be written is no reason to complain."""
    names = {number: name for name, number in _PAGES.items()}
    shot = desk.shot
    for document in desk.documents:
        state = state.with_drafts(document.path, document.digest, document.drafts)
    state = State(os.path.realpath(desk.plan.path), names[page], shot.name if shot else "", skin, state.drafts)
    with contextlib.suppress(FileProblem):
        save_state(state)
