"""The Gear page: what you have, what it weighs, and what reaches what."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from fieldplan.files.edits import free_name
from fieldplan.files.places import is_starter, list_profiles
from fieldplan.model.gear import LISTS, Item, Profile
from fieldplan.notation.display import weight_text
from fieldplan.pictures.cells import Picture, Row
from fieldplan.planner.kit import kit_list, total_weight_kg
from fieldplan.tui.commands import Command
from fieldplan.tui.desk import Desk
from fieldplan.tui.form import Form
from fieldplan.tui.pages.gearlines import FRESH, KINDS, MOUNTED, Place, figures, item_at, places, reach_rows
from fieldplan.tui.pages.gearviews import BAGS, REACH, GearViews
from fieldplan.tui.pages.usedview import WithUsed
from fieldplan.tui.rows import BLANK, beside, crop, crop_row, fitted, left, right, safe
from fieldplan.tui.source import Part, RecordSource

WIDE = 120
_LIST_WIDE, _FORM_WIDE = 62, 70
_KIND = 15
_NAME = 20
_LEAST_LIST = 5


class GearPage(WithUsed):
    """Everything in the profile by kind, and the form of the highlighted record."""

    number = 1
    title = "Gear"
    commands: ClassVar[tuple[Command, ...]] = (
        Command("previous_record", (",", "k"), "record", "the record above", 20, ", ."),
        Command("next_record", (".", "j"), "", "the record below", 21),
        Command("add", ("a",), "add", "add a record of the highlighted kind", 30),
        Command("copy", ("c",), "copy", "copy the highlighted record", 31),
        Command("remove", ("d",), "delete", "delete the highlighted record (undo takes it back)", 32),
        Command("next_profile", ("p",), "profile", "the next gear profile; the plan keeps the one that it names", 35),
        Command("bags", ("b",), "bags", "bags side by side for this plan: what each takes, weighs and costs", 25),
        Command("reach", ("r",), "reach", "what reaches what: how each picture can be taken, and the gaps", 26),
        Command("used", ("h",), "used", "what a folder of pictures was taken with, as bars; and gear it names", 37),
    )
    view_commands: ClassVar[tuple[Command, ...]] = (
        Command("up", ("up", "pageup"), "", "further up", 5),
        Command("down", ("down", "pagedown", "space"), "", "further down", 6),
        Command("bags", ("b",), "bags", "bags side by side, or back", 8),
        Command("reach", ("r",), "reach", "what reaches what, or back", 9),
        Command("back", ("escape", "ctrl+g"), "back", "back to the list", 10),
    )
    bag_commands: ClassVar[tuple[Command, ...]] = (
        Command("previous_bag", (",", "k", "left"), "bag", "the bag before", 1, ", ."),
        Command("next_bag", (".", "j", "right"), "", "the next bag", 2),
        Command("carry", ("enter",), "carry it", "write this bag into the plan; the card lists it then", 3),
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.place = Place("", None)
        self._gear = desk.gear
        self.form: Form = self._new_form()
        self.views = GearViews(desk)

    @property
    def arrows(self) -> str:
        """A view is scrolled; else the arrow keys belong to the form."""
        return "↑↓ scroll" if self.views.shown else super().arrows

    def live_commands(self) -> tuple[Command, ...]:
        """In a view the form is out of sight, and so are its keys."""
        if not self.views.shown:
            return super().live_commands()
        return (*(self.bag_commands if self.views.shown == BAGS else ()), *self.view_commands)

    def _new_form(self) -> Form:
        return Form(RecordSource(self.desk, self.desk.gear, self._parts))

    def _parts(self) -> Sequence[Part]:
        path = self.place.path
        if path is None:
            return ()
        return ((path, LISTS[self.place.kind][1] if self.place.kind else Profile),)

    @property
    def profile(self) -> Profile:
        """The profile, with the text that is being typed where it can be read."""
        return self.desk.trial_gear or self.desk.gear.value

    def _settle(self) -> list[Place]:
        """The lines, with the highlight on one that is there; another profile gets a form of its own."""
        if self._gear is not self.desk.gear:
            self._gear, self.place = self.desk.gear, Place("", None)
            self.form = self._new_form()
        lines = places(self.profile)
        if self.place not in lines:
            same = [line for line in lines if line.kind == self.place.kind]
            before = [line for line in same if (line.at or 0) <= (self.place.at or 0)]
            self._go(before[-1] if before else same[0])
        return lines

    def _go(self, place: Place) -> None:
        if place != self.place:
            self.place = place
            self.form.index, self.form.problem = 0, ""

    # what the keys do

    def _move(self, way: int) -> None:
        lines = self._settle()
        self._go(lines[(lines.index(self.place) + way) % len(lines)])

    def do_previous_record(self) -> None:
        """The record above."""
        self._move(-1)

    def do_next_record(self) -> None:
        """The record below."""
        self._move(1)

    def do_add(self) -> None:
        """A new record of the highlighted kind, after the highlighted one."""
        self._settle()
        kind = self.place.kind or "body"
        held: Sequence[Item] = getattr(self.desk.gear.value, LISTS[kind][0])
        index = 0 if self.place.at is None or not self.place.kind else self.place.at + 1
        fresh: dict[str, Any] = {"name": free_name(f"new {KINDS[kind]}", {item.name for item in held})}
        fresh |= FRESH.get(kind, {})
        if kind in MOUNTED:
            fresh["mount"] = self._mount()
        problem = self.desk.edit(self.desk.gear, lambda gear: gear.insert((kind,), index, fresh))
        self._changed(problem, Place(kind, index))

    def _mount(self) -> str:
        """The mount of the first body or lens; "A" where there is neither."""
        gear = self.desk.gear.value
        mounts = [body.mount for body in gear.bodies] + [lens.mount for lens in gear.lenses]
        return mounts[0] if mounts else "A"

    def do_copy(self) -> None:
        """A copy after the highlighted record."""
        self._settle()
        kind, index = self.place
        if index is None:
            self.message = "nothing to copy here: , and . go to a record"
            return
        self._changed(self.desk.edit(self.desk.gear, lambda gear: gear.copy((kind, index))), Place(kind, index + 1))

    def do_remove(self) -> None:
        """Take out the highlighted record."""
        self._settle()
        kind, index = self.place
        item = item_at(self.desk.gear.value, self.place)
        if index is None or item is None:
            self.message = "nothing to delete here: , and . go to a record"
            return
        problem = self.desk.edit(self.desk.gear, lambda gear: gear.remove((kind, index)))
        self.message = problem or f"{item.name} deleted; {self.key('undo')} takes it back"
        self._settle()

    def _changed(self, problem: str, place: Place) -> None:
        self.message = problem
        if not problem:
            self._go(place)

    def do_next_profile(self) -> None:
        """Lay the next profile on the desk."""
        known = list_profiles(self.desk.lists)
        if not known:
            self.message = "no other profile"
            return
        paths = [place.path for place in known]
        at = paths.index(self.desk.gear.path) if self.desk.gear.path in paths else -1
        there = known[(at + 1) % len(known)]
        named = self.desk.plan.value.profile or "none"
        problem = self.desk.take_gear(there.path)
        self.message = problem or f"profile {there.name}; the plan names {named}"
        self._settle()

    def do_bags(self) -> None:
        """Bags side by side, or back."""
        self.views.show(BAGS)

    def do_reach(self) -> None:
        """What reaches what, or back."""
        self.views.show(REACH)

    def do_back(self) -> None:
        """The list again."""
        self.views.show("")

    def do_up(self) -> None:
        """Scroll the view up."""
        self.views.scroll(-3)

    def do_down(self) -> None:
        """Scroll the view down."""
        self.views.scroll(3)

    def do_previous_bag(self) -> None:
        """The bag before."""
        self.views.at -= 1

    def do_next_bag(self) -> None:
        """The next bag."""
        self.views.at += 1

    def do_carry(self) -> None:
        """Write the picked bag into the plan."""
        self.message = self.views.carry()

    # drawing

    def draw(self, width: int, height: int) -> Picture:
        """List above and form below; beside each other where the screen is wide."""
        if self.used.shown:
            return self.used.draw(width, height)
        if self.views.shown:
            rows = self.views.rows(width, height)
            if self.views.below and not self.message:
                self.message = f"{self.views.below} more lines below (Down)"
            return fitted(rows, width, height)
        lines = self._settle()
        head, reach = self._head(width), self._reach(width, height)
        help_row = self.form.help_row(width)
        room = height - len(head) - len(reach) - 1
        if width >= WIDE:
            listed_wide = max(_LIST_WIDE, width - _FORM_WIDE)
            wide = width - listed_wide - 2
            columns = 1 if len(self.form.source.entries()) < room else 2
            form = [self._form_title(wide), *self.form.rows(wide, max(room - 1, 1), columns)]
            block = beside(self._list(lines, listed_wide, room), listed_wide, form)
        else:
            fields = -(-len(self.form.source.entries()) // 2)
            listed = max(_LEAST_LIST, room - 1 - fields)
            form = self.form.rows(width, max(room - 1 - listed, 1), 2)
            block = [*self._list(lines, width, listed), self._form_title(width), *form]
        block = (block + [BLANK] * room)[:room]
        return fitted([*head, *block, *reach, help_row], width, height)

    def _head(self, width: int) -> list[Row]:
        profile, path = self.profile, self.desk.gear.path
        kept = " (a starter: the first edit makes your own copy)" if is_starter(path) else ""
        title = crop(safe(profile.name), width // 2)
        first: Row = ((title, "title"), (f"  {safe(path.name)}{kept}", "dim"))
        lines = kit_list(profile)
        weight, limit = total_weight_kg(lines), profile.photographer.bag_limit
        text = f"owned: {len(lines)} things, {weight_text(weight, profile.units)}"
        unknown = sum(line.weight_kg is None for line in lines)
        text += f" and {unknown} without a weight" if unknown else ""
        over = weight is not None and limit is not None and weight > float(limit)
        if limit is not None:
            text += f"; bag limit {weight_text(float(limit), profile.units)}"
        if over and weight is not None and limit is not None:
            text += f", {weight_text(weight - float(limit), profile.units)} too much"
        carried = len(self.desk.plan.value.carry)
        text += f"; the plan carries {carried}" if carried else ""
        count = len(self.desk.kit().rigs)
        second: Row = ((text, "warn" if over else ""), (f"; {count} combinations", ""))
        return [crop_row(first, width), crop_row(second, width)]

    def _list(self, lines: Sequence[Place], width: int, room: int) -> list[Row]:
        at = lines.index(self.place)
        top = max(0, min(at - room // 2, len(lines) - room))
        rows = [self._line(line, width) for line in lines[top : top + room]]
        if top > 0 and rows:
            rows[0] = self._line(lines[top], width, "^")
        if top + room < len(lines) and rows:
            rows[-1] = self._line(lines[top + room - 1], width, "v")
        return rows

    def _line(self, place: Place, width: int, more: str = "") -> Row:
        """Mark, kind, name, figures, weight; "^" and "v" at the end: more above, more below."""
        item = item_at(self.profile, place)
        here = place == self.place
        name = safe(self.profile.name) if not place.kind else "" if item is None else safe(item.name)
        weight = "" if item is None or item.weight is None else weight_text(float(item.weight), self.profile.units)
        told = figures(self.profile, place, self.key("add")) + ("" if item is None or item.owned else ", not owned")
        kind = KINDS.get(place.kind, "profile")
        room = width - 2 - _KIND - _NAME - 10
        name_room = _NAME + (room + 1 if not told else 0)
        text = f"{left(kind, _KIND)}{left(name, name_room - 1)} "
        text += (left(told, room) + " " if told else "") + right(weight, 7) + right(more, 2)
        role = "picked" if here else "" if name else "dim"
        return ((("> " if here else "  ") + left(text, width - 2), role),)

    def _form_title(self, width: int) -> Row:
        item = item_at(self.profile, self.place)
        if self.place.path is None:
            return ((crop(f"no {KINDS[self.place.kind]} yet: {self.key('add')} adds one", width), "label"),)
        name = "the profile and the photographer" if item is None else f"{KINDS[self.place.kind]} {safe(item.name)}"
        return ((crop(f"-- {name} ", width), "title"),)

    def _reach(self, width: int, height: int) -> list[Row]:
        """Longest and shortest focal length on each body, and what the longest is made of."""
        return reach_rows(self.desk.kit().rigs, width, 2 if height < 28 else 6)
