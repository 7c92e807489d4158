"""What lies on the desk: a plan and a profile under edit, and the answers to them. Knows nothing of screens."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from fieldplan.files import edits
from fieldplan.files.comparing import Difference
from fieldplan.files.document import Document, EditProblem, open_profile
from fieldplan.files.problems import ChangedOnDisk, FileProblem
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan, Shot, Site
from fieldplan.model.schema import KeyPath
from fieldplan.opening import profile_path, setting_of
from fieldplan.planner.answers import PlanAnswers, ShotAnswers
from fieldplan.planner.carrying import carried_profile
from fieldplan.planner.plans import assess, assess_shot
from fieldplan.planner.rightnow import is_today, minutes_between, next_shot, planned_kept, site_time
from fieldplan.planner.rigs import Kit, prepare
from fieldplan.planner.setting import Setting
from fieldplan.tui.clock import Clock
from fieldplan.tui.ownkeys import OwnKeys

AnyDocument = Document[Any]


class _Key(NamedTuple):
    """What answers to a shot rest on; the same objects give the same answers."""

    plan: Plan
    shot: Shot | None
    kit: Kit
    setting: Setting


class Desk:
    """The plan and the profile, which shot is looked at, one undo for both, and every edit saved.

    An edit is saved by ``flush``, which the face calls as soon as the answers are shown.
    """

    def __init__(self, plan: Document[Plan], gear: Document[Profile], lists: Path | None = None) -> None:
        self.plan, self.gear, self.lists = plan, gear, lists
        self.clock = Clock()
        self.keys = OwnKeys()
        self.shot_index = 0
        self.on_the_spot = False  # while a view is open that is for the moment of the picture
        self.trial: Plan | None = None
        self.trial_gear: Profile | None = None
        self.conflict: AnyDocument | None = None
        self.notices: list[str] = []
        self.documents: list[AnyDocument] = [plan, gear]
        self._named = plan.value.profile
        self._done: list[AnyDocument] = []
        self._undone: list[AnyDocument] = []
        self._setting: tuple[Site | None, Setting] | None = None
        self._kit: Kit | None = None
        self._kit_of: tuple[Profile, tuple[str, ...]] = (gear.value, ())
        self._held: tuple[_Key, ShotAnswers] | None = None
        self._whole: tuple[Plan, Profile, PlanAnswers] | None = None

    @property
    def units(self) -> str:
        """The plan's units."""
        return self.plan.value.units

    @property
    def shown_plan(self) -> Plan:
        """The plan, with the text that is being typed where it can be read."""
        return self.trial or self.plan.value

    @property
    def shot(self) -> Shot | None:
        """The shot looked at."""
        shots = self.shown_plan.shots
        return shots[min(self.shot_index, len(shots) - 1)] if shots else None

    def setting(self) -> Setting:
        """Lists, zone and sky for the site; made anew when the site changes."""
        site = self.shown_plan.site
        if self._setting is None or (self._setting[0] is not site and self._setting[0] != site):
            self._setting = (site, setting_of(site, self.lists))
        return self._setting[1]

    def kit(self) -> Kit:
        """What the plan carries of the profile, made ready; made anew when either changes."""
        profile, carry = self.trial_gear or self.gear.value, self.shown_plan.carry
        if self._kit is None or self._kit_of[0] is not profile or self._kit_of[1] != carry:
            self._kit, self._kit_of = prepare(carried_profile(self.shown_plan, profile)), (profile, carry)
        return self._kit

    def answers(self) -> ShotAnswers | None:
        """Answers to the shot looked at; None where the plan has no shot."""
        plan, shot = self.shown_plan, self.shot
        key = _Key(plan, shot, self.kit(), self.setting())
        if shot is None:
            return None
        if self._held is None or any(a is not b for a, b in zip(self._held[0], key, strict=True)):
            self._held = (key, assess_shot(plan, shot, key.kit, key.setting))
        return self._held[1]

    def all_answers(self) -> PlanAnswers:
        """Answers to the whole plan, with the times of the day."""
        plan, gear = self.plan.value, self.gear.value
        if self._whole is None or self._whole[0] is not plan or self._whole[1] is not gear:
            found = assess(plan, gear, self.setting(), self.kit())
            from fieldplan.planner.shotmore import fuller  # much that the first screen has no need of

            self._whole = (plan, gear, fuller(found, self.kit(), self.setting()))
        return self._whole[2]

    def go(self, way: int) -> None:
        """The shot so many places on, round and round."""
        count = len(self.plan.value.shots)
        self.shot_index = (min(self.shot_index, count - 1) + way) % count if count else 0

    def is_today(self) -> bool:
        """Whether the plan is for today, by the site's clock."""
        return is_today(self.plan.value, site_time(self.clock.now(), self.setting().time_zone))

    def go_now(self, now: dt.datetime) -> str:
        """Look at the shot that is next by the clock, or the last one of the day. Returns what to tell."""
        zone = self.setting().time_zone
        here, plan = site_time(now, zone), self.plan.value
        told = f"now {here:%Y-%m-%d %H:%M}" + (f" {zone}" if zone else "")
        found = next_shot(plan, here)
        if found is None:
            return f"{told}: no shot of this plan is for today"
        self.shot_index = found.at
        shot = plan.shots[found.at]
        to_start, since_end = (minutes_between(here, end) for end in (found.when, found.end))
        if to_start <= 0 <= since_end and found.end != found.when:
            return f"{told}: {shot.name}, until {found.end:%H:%M}"
        return f"{told}: {shot.name} " + (f"in {to_start} min" if to_start >= 0 else f"was {-since_end} min ago")

    def edit(self, document: AnyDocument, change: Callable[[AnyDocument], object]) -> str:
        """Change a document. Returns the problem, or "" when it is done."""
        self.trial = self.trial_gear = None
        before = document.value
        try:
            change(document)
        except (EditProblem, FileProblem) as wrong:
            return said(wrong)
        if document.value is not before:
            self._done.append(document)
            self._undone.clear()
            self._follow_profile()
        return ""

    def put(self, document: AnyDocument, path: KeyPath, text: str) -> str:
        """Put a text in its file; returns the problem. Changed on the spot, a distance keeps the planned one."""
        if document is self.plan and path[:1] == ("shot",) and path[2:] == ("distance",) and self.counts_as_spot():
            with contextlib.suppress(EditProblem):
                after = edits.with_value(self.plan.value, path, text).shots[int(path[1])]
                document.drafts.pop(path, None)
                return self.put_shot(int(path[1]), after)
        return self.edit(document, lambda held: held.set(path, text))

    def put_shot(self, at: int, after: Shot) -> str:
        """Put a changed shot in the plan; changed on the spot it keeps the planned distance. Returns the problem."""
        kept = planned_kept(self.plan.value.shots[at], after) if self.counts_as_spot() else after
        return self.edit(self.plan, lambda plan: plan.set(("shot", at), kept))

    def counts_as_spot(self) -> bool:
        """Whether a change is one of the day itself, not of the planning."""
        return self.on_the_spot and self.is_today()

    def take_gear(self, path: Path) -> str:
        """Lay another profile on the desk; the plan stays as it is. Returns the problem, or ""."""
        try:
            gear = next((held for held in self.documents if held.path == path), None) or open_profile(path)
        except FileProblem as wrong:
            return said(wrong)
        self.gear = gear
        if not any(gear is held for held in self.documents):
            self.documents.append(gear)
        return ""

    def _follow_profile(self) -> None:
        """Take the profile that the plan names, when it names another one."""
        if self.plan.value.profile == self._named:
            return
        self._named = self.plan.value.profile
        try:
            path = profile_path(self.plan.value, self.plan.path, None, self.lists)
        except FileProblem as wrong:
            self.notices.append(said(wrong))
            return
        problem = self.take_gear(path)
        if problem:
            self.notices.append(problem)

    def attempt(self, document: AnyDocument, path: KeyPath, text: str) -> str:
        """Reckon with a text that is being typed. Returns the problem, or ""; the last answers stay then."""
        try:
            value = edits.with_value(document.value, path, text)
        except EditProblem as wrong:
            return said(wrong)
        if isinstance(value, Plan):
            self.trial = value
        else:
            self.trial_gear = value
        return ""

    def drop_trial(self) -> None:
        """Reckon with what is kept again."""
        self.trial = self.trial_gear = None

    def undo(self) -> bool:
        """Take back the last edit of either document; looks at the shot that it changes. False: there is none."""
        return self._travel(self._done, self._undone, lambda document: document.undo())

    def redo(self) -> bool:
        """Do again what was undone."""
        return self._travel(self._undone, self._done, lambda document: document.redo())

    def _travel(
        self, source: list[AnyDocument], target: list[AnyDocument], move: Callable[[AnyDocument], object]
    ) -> bool:
        self.drop_trial()
        if not source:
            return False
        document = source.pop()
        before = self.plan.value.shots
        move(document)
        target.append(document)
        self._follow_profile()
        after = self.plan.value.shots
        changed = (i for i, shot in enumerate(after) if i >= len(before) or shot is not before[i])
        if document is self.plan and after != before:
            self.shot_index = min(next(changed, self.shot_index), max(len(after) - 1, 0))
        return True

    def flush(self) -> None:
        """Save what is not on disk yet. Sets ``conflict`` where another program changed the file."""
        for document in self.documents:
            if not document.unsaved or document is self.conflict:
                continue
            self._save(document, over=False)

    def save_over(self) -> None:
        """Save the document in conflict over what another program wrote."""
        document, self.conflict = self.conflict, None
        if document is not None:
            self._save(document, over=True)

    def reload(self) -> str:
        """Take what another program wrote; undo brings back the edits. Returns the problem, or ""."""
        document, self.conflict = self.conflict, None
        return "" if document is None else self.edit(document, lambda held: held.reload())

    def save_copy(self) -> str:
        """Put the edits in conflict in a file of their own, and go on there. Returns the problem, or ""."""
        document = self.conflict
        if document is None:
            return ""
        try:
            self.notices += document.save_copy().notices
        except FileProblem as wrong:
            return said(wrong)
        self.conflict = None
        return ""

    def compared(self) -> tuple[Difference, ...] | str:
        """Where the edits in conflict differ from what another program wrote; or why that cannot be told."""
        if self.conflict is None:
            return ()
        try:
            return self.conflict.differences()
        except FileProblem as wrong:
            return said(wrong)

    def _save(self, document: AnyDocument, over: bool) -> None:
        try:
            self.notices += document.save(over=over).notices
        except ChangedOnDisk as wrong:
            self.conflict = document
            self.notices.append(said(wrong))
        except FileProblem as wrong:
            self.notices.append(f"NOT SAVED: {said(wrong)}")

    def shot_at(self, name: str) -> None:
        """Look at the shot of that name, where there is one."""
        with contextlib.suppress(ValueError):
            self.shot_index = [shot.name for shot in self.plan.value.shots].index(name)


def said(wrong: EditProblem | FileProblem) -> str:
    """The problems of an edit or a file in one line."""
    if isinstance(wrong, EditProblem):
        return "; ".join(problem.message for problem in wrong.problems)
    return "; ".join(str(wrong).splitlines())


def names(records: Sequence[Any]) -> tuple[str, ...]:
    """The names of records."""
    return tuple(record.name for record in records)
