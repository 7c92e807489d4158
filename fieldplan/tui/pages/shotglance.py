"""At a glance: the few figures of one shot in large characters, to be read at arm's length; the distance one key away.

Which light the figures are for is told beside the ISO: the light now, where the plan is for today and the shot is due,
else the light that the shot was planned with. A light written into the shot stands until b asks for the light now.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from fieldplan.card.wording import limit_text
from fieldplan.notation.display import ev_text, focal_text, length_text, span_text
from fieldplan.notation.marks import f_mark, iso_figure, iso_words, share_text, stops_text, time_mark
from fieldplan.pictures.bigfigures import SIZES, Size, can_draw, draw_figure, figure_cells, scale_of
from fieldplan.pictures.cells import Level, Row
from fieldplan.planner.answers import Answer, Light, ShotAnswers
from fieldplan.planner.rightnow import RightNow, stops_off
from fieldplan.tui.commands import Command
from fieldplan.tui.pages.answerrows import in_the_way
from fieldplan.tui.pages.nowlines import light_text, now_line, planned_text
from fieldplan.tui.pages.shotview import BACK, PICKING, SHOTS, ShotView
from fieldplan.tui.rows import BLANK, beside, crop, crop_row, safe, wrap, wrapped

if TYPE_CHECKING:
    from fieldplan.tui.pages.shotover import ShotOver

_WORDS = 12  # cells that the words beside a figure need
_GAP = 2


class GlanceView(ShotView):
    """f-number, shutter and ISO, large; body, lens and focal length beside them; what is short below."""

    commands: ClassVar[tuple[Command, ...]] = (
        Command("distance", ("enter", "="), "distance", "type another distance; the figures follow", 1),
        Command("step_up", ("up",), "", "the distance a step farther", 2),
        Command("step_down", ("down",), "", "the distance a step nearer", 3),
        *PICKING,
        *SHOTS,
        Command("took", ("l",), "log", "log the shot as taken now with this answer (undo takes it back)", 4),
        Command("by_now", ("b",), "light", "the figures by the light now, or by the light that was planned", 24),
        Command("log", ("e",), "", "what was logged for this shot, to put right", 93),
        Command("what_if", ("w",), "what if", "one thing changed, the new answer beside the old", 91),
        Command("how_far", ("h",), "how far", "the distance from a known size, a hand held up, or steps", 92),
        Command("clock", ("z",), "clock", "this computer's clock against the site's, and how far it is off", 94),
        Command("leave", ("g", "space", *BACK), "back", "back to the form and all answers", 5, opener="glance"),
    )
    arrows = "↑↓ step"

    def __init__(self, page: ShotOver) -> None:
        super().__init__(page, page.shot_form)
        self.by_now: bool | None = None  # as the planner says, until a key says otherwise
        self.page.shot_form.select_key("distance")

    def do_distance(self) -> None:
        """Open the distance, whatever field was selected."""
        self.form.select_key("distance")
        self.form.open()

    def do_by_now(self) -> None:
        """The other light."""
        answers, answer = self.page.desk.answers(), self.page.answer
        now = None if answers is None else self.page.moments.of(answers, answer)
        if answers is None or now is None or now.by_now is None:
            self.page.message = "the light now is known on the day of the plan, at a site with a position"
            return
        self.by_now = not self._counts_now(answers, now)

    def _counts_now(self, answers: ShotAnswers, now: RightNow | None) -> bool:
        if now is None or now.by_now is None:
            return False
        if self.by_now is not None:
            return self.by_now
        return now.due and answers.shot.light is None

    def used(self, answers: ShotAnswers, answer: Answer) -> tuple[Answer, Light | None, str]:
        """The answer as it stands here, the light that it is for, and that light's name."""
        now = self.page.moments.of(answers, answer, not self.page.typing)
        if now is not None and now.by_now is not None and self._counts_now(answers, now):
            return now.by_now, now.light, f"by the light now, {now.here:%H:%M}"
        when = "" if answers.when is None else f"{answers.when:%H:%M}"
        if answers.light is None:
            return answer, None, ""
        return answer, answers.light, "light as given" if answers.light.source == "given" else f"light of {when}"

    def draw(self, answers: ShotAnswers, answer: Answer | None, width: int, height: int) -> list[Row]:
        """Large figures as the room allows, words beside and below them."""
        top = self._top(answers, width)
        if answer is None:
            return [top, BLANK, *wrapped(f"No answer yet: {safe(answers.problem or '')}", width, "warn")]
        shown, light, by = self.used(answers, answer)
        bottom = self._bottom(answers, answer, shown, width, height)
        units = self.page.desk.units
        words = (
            _rig_words(self.page.picked, shown, units),
            _time_words(shown),
            _iso_words(shown, light, by, self._doubt(answers, answer)),
        )
        figures = figure_rows(figure_texts(shown), words, width, height - 1 - len(bottom), self.page.level)
        filled = [top, *figures]
        return [*filled, *[BLANK] * max(height - len(filled) - len(bottom), 0), *bottom]

    def _doubt(self, answers: ShotAnswers, answer: Answer) -> str:
        """That the light now is another than the one reckoned with, for a shot that is due."""
        now = self.page.moments.of(answers, answer, not self.page.typing)
        if now is None or now.light is None or answers.light is None or not now.due or self._counts_now(answers, now):
            return ""
        off = stops_off(answers.light, now.light)
        way, key = ("less" if off < 0 else "more"), self.page.key("by_now")
        return "" if abs(off) < 1.0 else f"now {stops_text(abs(off))} {way}: {key}"

    def _top(self, answers: ShotAnswers, width: int) -> Row:
        """Which shot, and its distance: the open field while it is typed."""
        shot, wanted = answers.shot, answers.wanted
        name = crop(safe(shot.name) + ("*" if shot.must else ""), max(width // 2 - 2, 8))
        if self.form.line is not None and self.form.entry is not None:
            from fieldplan.tui import editor

            label = f"  {self.form.entry.label} "
            room = min(max(width - len(name) - len(label), 6), 24)
            return crop_row(((name, "title"), (label, "key"), *editor.shown(self.form.line, room)), width)
        units = self.page.desk.units
        at = "" if wanted is None or wanted.distance is None else f"  at {span_text(*wanted.distance, units)}"
        place = f"  {self.page.desk.shot_index + 1}/{len(self.page.desk.shown_plan.shots)}"
        planned = planned_text(self.page.moments.of(answers, self.page.answer))
        return crop_row(((name, "title"), (at, "best"), (f"  {planned}" if planned else "", ""), (place, "dim")), width)

    def _bottom(self, answers: ShotAnswers, answer: Answer, shown: Answer, width: int, height: int) -> list[Row]:
        """What is short, and the moment; while the distance is typed, what may be written or why it cannot be read."""
        rows = [_verdict(shown, width)]
        if self.page.typing:
            return [*rows, self.form.help_row(width)] if height >= 16 or self.form.trouble() else rows
        now = self.page.moments.of(answers, answer)
        if now is not None and height >= 16:
            rows.append(((now_line(now, width), "dim"),))
        elif now is not None and not shown.shortfalls:
            rows = [((now_line(now, width), "dim"),)]
        return rows


def _verdict(a: Answer, width: int) -> Row:
    if a.verdict == "works":
        return (("works: nothing in the way", "best"),)
    return ((crop(f"! {safe(in_the_way(a))}", width), "warn"),)


def figure_texts(a: Answer) -> tuple[str, str, str]:
    """f-number, time and ISO as they stand on the camera; "?" where one is not known."""
    stop = "?" if a.f_number is None else f_mark(a.f_number)
    time = "?" if a.shutter_s is None else time_mark(a.shutter_s)
    return stop, time, "?" if a.iso is None else iso_figure(a.iso, a.iso_ceiling)


def _rig_words(picked: int, a: Answer, units: str) -> list[tuple[str, str]]:
    focal = "" if a.focal_m is None else focal_text(a.focal_m)
    fill = "" if a.fill is None else f"fills {share_text(a.fill)}"
    parts = (f"{picked + 1} {safe(a.label)}", f"{focal} {a.hold}".strip())
    last = ", ".join(part for part in (f"at {length_text(a.distance_m, units)}" if a.distance_m else "", fill) if part)
    return [(parts[0], "title"), (parts[1], "best"), (last, "")]


def _time_words(a: Answer) -> list[tuple[str, str]]:
    if a.shutter_s is None:
        return [("time as the light gives", "")]
    limits = (("motion", a.motion_limit_s), ("shake", a.shake_limit_s))
    told = [f"{word} wants {limit_text(limit)}" for word, limit in limits if limit is not None and limit < 1e5]
    support = f"on {safe(a.support)}" if a.support else "hand-held"
    return [(support, ""), *((text, "dim") for text in told)]


def _iso_words(a: Answer, light: Light | None, by: str, doubt: str) -> list[tuple[str, str]]:
    if a.iso is None:
        return [("ISO", "title"), ("no light known", "warn")]
    told = [("ISO", "title")]
    if a.iso_low is not None and a.iso_high is not None and a.iso_low != a.iso_high:
        low, high = (iso_words(end, a.iso_ceiling) for end in (a.iso_low, a.iso_high))
        told += [(f"{low} to {high} as the light may be", "")] if low != high else []
    if light is not None:
        exact = light.ev100_low == light.ev100_high
        told.append((ev_text(light.ev100) if exact else light_text(light, sun=False), "dim"))
    return [*told, *((text, role) for text, role in ((by, "dim"), (doubt, "warn")) if text)]


Words = list[tuple[str, str]]


def figure_rows(texts: tuple[str, ...], words: tuple[Words, ...], width: int, height: int, level: Level) -> list[Row]:
    """The figures one under the other in the largest size that leaves room for words; else side by side; else text."""
    size, gap = _stacked(texts, width, height, level)
    if size is not None:
        rows: list[Row] = []
        for text, told in zip(texts, words, strict=True):
            rows += [BLANK] * gap if rows else []
            rows += _with_words(text, told, width, size, level)
        return rows
    if scale_of("narrow", level).rows * 2 + 1 <= height and _abreast(texts[:2], level) <= width:
        pair = beside(list(draw_figure(texts[0], "narrow", level)), figure_cells(texts[0], "narrow", level),
                      list(draw_figure(texts[1], "narrow", level)), 4)  # fmt: skip
        below = _with_words(texts[2], [*words[2], *words[0]], width, "narrow", level)
        return [*pair, BLANK, *below][:height]
    stop, time, iso = texts
    plain: Row = ((f"{stop}  {time}  ISO {iso}", "title"),)
    told_rows: list[Row] = [((crop(text, width), role),) for told in words for text, role in told if text]
    return [plain, *told_rows][:height]


def _abreast(texts: tuple[str, ...], level: Level) -> int:
    return sum(figure_cells(text, "narrow", level) for text in texts) + 4 * (len(texts) - 1)


def _stacked(texts: tuple[str, ...], width: int, height: int, level: Level) -> tuple[Size | None, int]:
    """The size for figures one under the other with words beside them, and the rows between; None: none fits."""
    if not all(can_draw(text) for text in texts):
        return None, 0
    for size in SIZES:
        room = height - scale_of(size, level).rows * len(texts)
        gap = 0 if size == "medium" and level != "ascii" else 1
        wide = max(figure_cells(text, size, level) for text in texts) + _GAP + _WORDS
        if room >= gap * (len(texts) - 1) and wide <= width:
            return size, gap
    return None, 0


def _with_words(text: str, told: Words, width: int, size: Size, level: Level) -> list[Row]:
    """A figure and, in the rest of its rows, what belongs to it."""
    high, wide = scale_of(size, level).rows, figure_cells(text, size, level)
    room = width - wide - _GAP
    lines: list[Row] = [((line, role),) for words, role in told if words for line in wrap(words, room)]
    if len(lines) > high:
        lines = [*lines[: high - 1], ((crop(lines[high - 1][0][0] + " ...", room), lines[high - 1][0][1]),)]
    return beside(list(draw_figure(text, size, level)), wide, lines, _GAP)
