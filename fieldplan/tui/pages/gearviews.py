"""In-page views of the Gear page: bags side by side, and what reaches what. They scroll; the planner decides."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from fieldplan.card.kittable import blocks, kit_table
from fieldplan.card.text import table_lines
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.notation.display import weight_text
from fieldplan.pictures.cells import Row, text_cells
from fieldplan.planner import kitwords as words
from fieldplan.planner.bags import Bag
from fieldplan.planner.kitdecision import KitDecision, decide
from fieldplan.planner.setting import Setting
from fieldplan.tui.desk import Desk
from fieldplan.tui.rows import BLANK, beside, crop, fitted, safe, wrap

WIDE = 130
_TABLE_WIDE = 84
_LABEL = 11
BAGS, REACH = "bags", "reach"


class Pick(NamedTuple):
    """A bag to choose; choice: its place in the table, None where it stands in none; whole: everything owned."""

    name: str
    bag: Bag
    lines: tuple[words.Line, ...]
    choice: int | None
    whole: bool = False


class GearViews:
    """Which view is in sight, where it is scrolled to, and the decision it shows: made when first looked at."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.shown = ""
        self.at, self.top = 0, 0
        self.below = 0
        self._held: tuple[Plan, Profile, Setting, KitDecision] | None = None
        self._picks: list[Pick] = []
        self._reached: list[Iterable[words.Line]] = []

    def show(self, view: str) -> None:
        """A view from its top; the same again, or "", goes back to the list."""
        self.shown = "" if view == self.shown else view
        self.top = 0

    def scroll(self, way: int) -> None:
        """So many rows on."""
        self.top = max(0, self.top + way)

    def decision(self) -> KitDecision:
        """The decision for the plan and the profile as they are kept; made anew when either changes."""
        now = self.desk.plan.value, self.desk.gear.value, self.desk.setting()
        if self._held is None or any(a is not b for a, b in zip(self._held, now, strict=False)):
            self._held = (*now, decide([(now[0], now[2])], now[1]))
            self._picks, self._reached = _picks_of(self._held[3]), []
        return self._held[3]

    def picks(self) -> list[Pick]:
        """The bags of the table, then the lightest ones, then the best within the limit."""
        self.decision()
        return self._picks

    @property
    def pick(self) -> Pick:
        """The bag that is picked."""
        picks = self.picks()
        self.at %= len(picks)
        return picks[self.at]

    def carry(self) -> str:
        """Write the picked bag into the plan. Returns what to tell."""
        if not self.desk.plan.value.shots:
            return ""
        pick = self.pick
        said = self._written(pick)
        names = [other.name for other in self.picks()]  # "as carried" comes and goes before the bags after it
        self.at = names.index(pick.name) if pick.name in names else 0
        return said

    def _written(self, pick: Pick) -> str:
        """A bag written into the plan; what to tell."""
        undo = self.desk.keys.name("undo", "Gear")
        if pick.whole:
            problem = self.desk.edit(self.desk.plan, lambda plan: plan.remove(("carry",)))
            return problem or f"the plan carries all that is owned; {undo} takes it back"
        if not pick.bag.lines:
            return "nothing in this bag: the plan stays as it is"
        names = list(dict.fromkeys(line.name for line in pick.bag.lines))
        problem = self.desk.edit(self.desk.plan, lambda plan: plan.set(("carry",), names))
        weight = weight_text(pick.bag.weight_kg, pick.bag.units)
        return problem or f"the plan carries {len(names)} things, {weight}; {undo} takes it back"

    # drawing

    def rows(self, width: int, height: int) -> list[Row]:
        """The view in sight."""
        if not self.desk.plan.value.shots:
            return [(("The plan holds no picture yet: add one on page 2, Shot.", "warn"),)]
        head, body = self._bags(width) if self.shown == BAGS else self._reach(width)
        room = height - len(head)
        self.top = max(0, min(self.top, len(body) - room))
        self.below = max(0, len(body) - self.top - room)
        return [*head, *fitted(body[self.top : self.top + room], width, room)]

    def _bags(self, width: int) -> tuple[list[Row], list[Row]]:
        found, pick = self.decision(), self.pick
        limit = "no bag limit" if found.limit_kg is None else f"limit {weight_text(found.limit_kg, found.units)}"
        carried = self.desk.plan.value.carry
        told = f"; carried: {len(carried)} things" if carried else "; carried: all that is owned"
        head: list[Row] = [
            ((crop(f"Bags for {safe(self.desk.plan.value.title)}", width // 2), "title"),
             (f"  {limit}{told}", "dim")),
            self._strip(width),
        ]  # fmt: skip
        grid = words.grid(found)
        table_wide = _TABLE_WIDE if width >= WIDE else width
        tables = blocks(grid, table_wide)
        block = next((b for b in tables if pick.choice in b[1:]), tables[0])
        table = _table(table_lines(kit_table(grid, block, pick.choice), table_wide))
        table.append(((f"  {crop(words.LEGEND, table_wide - 2)}", "dim"),))
        side = width - table_wide - 3 if width >= WIDE else width
        packed = () if pick.choice is None else (("pack", words.bag_text(pick.bag)),)
        about = said((*packed, *pick.lines), side)
        if width >= WIDE:
            return head, beside(table, table_wide, about, 3)
        return head, [*table, *about]

    def _strip(self, width: int) -> Row:
        """The bags by name, the picked one in brackets, as many of the others as fit."""
        names = [safe(pick.name) for pick in self.picks()]
        first = self.at
        while first > 0 and sum(text_cells(name) + 3 for name in names[first - 1 : self.at + 1]) < width - 4:
            first -= 1
        runs = [("< " if first else "  ", "key")]
        used = 4
        for i in range(first, len(names)):
            if used + text_cells(names[i]) + 3 > width and i > self.at:
                runs.append((">", "key"))
                break
            runs.append((f"[{names[i]}] ", "tab") if i == self.at else (f" {names[i]}  ", ""))
            used += text_cells(names[i]) + 3
        return tuple(runs)

    def _reach(self, width: int) -> tuple[list[Row], list[Row]]:
        found = self.decision()
        head: list[Row] = [((crop(f"What reaches what, for {safe(self.desk.plan.value.title)}", width), "title"),)]
        body: list[Row] = [((line, ""),) for line in wrap(safe(found.coverage.text), width)]
        if not self._reached:
            pairs = zip(found.coverage.rows, found.shots, strict=True)
            self._reached = [words.reach_lines(row, shot, found.kit) for row, shot in pairs]
        for row, lines in zip(found.coverage.rows, self._reached, strict=True):
            wish = "must" if row.must else "nice to have"
            body += [BLANK, ((crop(safe(row.shot), width - 16), "title"), (f"  ({wish})", "dim"))]
            body += said(lines, width)
        return head, body


def _picks_of(found: KitDecision) -> list[Pick]:
    """The bags of the table, then the lightest ones, then the best within the limit."""
    first = found.choices[0]
    picks = [
        Pick(c.name, c.bag, words.choice_lines(c, first, found), i, c is first and c.whole)
        for i, c in enumerate(found.choices)
    ]
    picks.append(Pick("lightest", found.lightest.bag, words.lightest_lines(found.lightest), None))
    if found.lightest_of_all is not None and found.lightest_of_all.bag.items != found.lightest.bag.items:
        of_all = found.lightest_of_all
        picks.append(Pick("lightest, with what might be bought", of_all.bag, words.lightest_lines(of_all), None))
    if found.best is not None and not first.whole:
        picks.append(Pick("best within the limit", found.best, words.best_lines(found.best), None))
    return picks


def said(lines: Iterable[words.Line], width: int) -> list[Row]:
    """Labels, and their texts hanging beside them."""
    rows: list[Row] = []
    for label, text in lines:
        role = "warn" if label in ("gap", "in part", "not taken", "no way", "no answer", "unknown") else ""
        for y, line in enumerate(wrap(safe(text), width - _LABEL)):
            rows.append((((label if y == 0 else "").ljust(_LABEL), "label"), (line, role)))
    return rows


def _table(lines: Iterable[str]) -> list[Row]:
    rows: list[Row] = [((safe(line), ""),) for line in lines]
    return rows[1:]  # its title is that of the page
