"""Answers without their place, to be shared where a subject must not be found by others.

Left out: every position and height; the names of site, landmarks and viewpoints wherever they are written, single words
of them, and any position that somebody typed into a text; the time zone's name (the offset from UTC stays); where sun
and moon stand, how far the moon is, bearings of the lens, the ground line, magnetic variation, spots to stand at; the
light by the clock; leaving and arriving; notes, which may tell the way; which law holds for an animal there. Kept:
what, when, how far, with what, and how light it is.

Numbers tell a place too. So the light is rounded to half a stop before anything rests on it, times at which a shot
works to ten minutes, and figures that rest on how far the moon or a landmark is to two digits. What is left by clock
times and light together tells the region to some tens of kilometres, no more.
"""

from __future__ import annotations

import datetime as dt
import math
from typing import Any, NamedTuple

from fieldplan.model.gear import Profile
from fieldplan.model.plan import LandmarkSubject, OwnSubject, Plan, RigChoice, Shot, SkySubject
from fieldplan.model.taken import LogEntry
from fieldplan.planner.answers import Answer, Caution, Light, PlanAnswers, ShotAnswers, WorkSpan
from fieldplan.planner.fitting import best_spans
from fieldplan.planner.hiding import Hide, Hider, hider, shared_words
from fieldplan.planner.moments import on_the_clock
from fieldplan.planner.plans import assess
from fieldplan.planner.rigs import Kit
from fieldplan.planner.setting import Setting
from fieldplan.planner.times import DAY_BEGINS, DAY_ENDS

SAID = "place left out"
LIGHT_STEP = 0.5  # stops: in twilight the light runs through that in some minutes
TIME_STEP_S = 600.0
_FIGURES = 2
# Fields of answers to a shot that hold nothing of the place; whatever else they have, now or later, is left out.
_KEPT_OF_SHOT = ("rigs", "needed_focal", "needed_distance", "needed_size", "missing", "problem", "why_first")
_KEPT = ("cautions", "kit", "weight_kg", "bag_limit_kg", "distance_tables", "exposure_tables", "carried")
# Texts of the program's own, which it compares with: a place that is called so does not change them.
_OWN_WORDS = frozenset({"verdict", "hold", "kind", "units", "fill_axis", "missing"})
# Figures of an answer that rest on how far its subject is.
_BY_DISTANCE = ("magnification", "fill", "fill_near", "fill_far", "fill_low", "fill_high", "pixels_on_subject",
                "fills_from_m", "fills_to_m", "field_width_m", "field_height_m", "acting_focal_m", "motion_limit_s",
                "background_smear_m", "background_blur_m", "effective_f_number", "focal_m", "near_m", "far_m",
                "depth_m")  # fmt: skip
_BY_LIGHT = frozenset({"iso", "shutter", "too bright"})  # shortfalls that rest on the light and the body alone
_APPROACH = "what law and guidance ask for there is left out with the place. Ask locally, and watch how it behaves."


class Shared(NamedTuple):
    """Answers to be given out, and what their texts still have in common with the names of the place, a line each."""

    answers: PlanAnswers
    shared: tuple[str, ...]


class _Texts(NamedTuple):
    """Texts as they go out. shots: the names of shots; clock: the offset from UTC of moments without one."""

    hide: Hider
    shots: dict[str, str]
    clock: dt.tzinfo | None


def without_place(plan: Plan, profile: Profile, setting: Setting, kit: Kit) -> Shared:
    """Answers to a plan by rounded light, with nothing in them that leads to the place; see above for what that is."""
    answers = assess(plan, profile, setting._replace(light_step=LIGHT_STEP), kit)
    animals = [shot.subject for shot in plan.shots if isinstance(shot.subject, str)]
    hide = hider(plan.site, animals)
    texts = _Texts(hide, _shot_names(plan, hide.words), _clock(answers))
    told = _plan(plan, texts)
    kept = {name: _scrubbed(getattr(answers, name), texts) for name in _KEPT}
    placed = {texts.shots[s.name] for s in plan.shots if _is_placed(s)}
    kept["distance_tables"] = tuple(t for t in kept["distance_tables"] if t.shot not in placed)
    named = answers.profile.model_copy(update={"name": hide.names(answers.profile.name)})
    shots = tuple(_shot_answers(s, shot, texts) for s, shot in zip(answers.shots, told.shots, strict=True))
    out = PlanAnswers(plan=told, profile=named, time_zone=None, shots=shots, clock=texts.clock, **kept)
    return Shared(out, tuple(shared_words(_typed(plan, hide.names), plan.site, animals)))


def _is_placed(shot: Shot) -> bool:
    """Whether how far the subject is follows from where the site is."""
    return isinstance(shot.subject, (SkySubject, LandmarkSubject))


def _clock(answers: PlanAnswers) -> dt.tzinfo | None:
    """The offset from UTC of the first moment of the plan."""
    first = next((s.when for s in answers.shots if s.when is not None and s.when.tzinfo is not None), None)
    if first is None and answers.day is not None:
        first = on_the_clock(answers.day.day.date, dt.time(12), answers.day.day.zone)
    return None if first is None else _moved(first).tzinfo


def _shot_names(plan: Plan, hide: Hide) -> dict[str, str]:
    """Each name of a shot as it goes out; two that become the same are told apart by a number."""
    names: dict[str, str] = {}
    for name in dict.fromkeys((*(shot.name for shot in plan.shots), *(entry.shot for entry in plan.taken))):
        told = hide(name)
        count = sum(held == told or held.startswith(f"{told} #") for held in names.values())
        names[name] = f"{told} #{count + 1}" if count else told
    return names


def _typed(plan: Plan, hide: Hide) -> list[str]:
    """Texts of a person that go out, whole names and positions hidden: to be looked through for what is left."""
    texts: list[str | None] = [plan.title]
    for shot in plan.shots:
        own = shot.subject.name if isinstance(shot.subject, OwnSubject) else None
        texts += [shot.name, shot.activity, shot.support, own]
    for entry in plan.taken:
        texts += [entry.shot, entry.why, entry.support]
    return [hide(text) for text in texts if text]


def _plan(plan: Plan, texts: _Texts) -> Plan:
    shots = tuple(_shot(shot, texts) for shot in plan.shots)
    taken = tuple(_entry(entry, texts) for entry in plan.taken)
    carry = tuple(map(texts.hide.names, plan.carry))
    return plan.model_copy(update={
        "title": f"{texts.hide.words(plan.title)} ({SAID})", "leave": None, "arrive": None, "site": None,
        "readings": (), "shots": shots, "taken": taken, "carry": carry,
    })  # fmt: skip


def _hidden(record: Any, names: tuple[str, ...], hide: Hide) -> dict[str, Any]:
    return {name: hide(text) for name in names if (text := getattr(record, name)) is not None}


def _shot(shot: Shot, texts: _Texts) -> Shot:
    subject, hide = shot.subject, texts.hide
    if isinstance(subject, str):
        subject = hide.words(subject)
    elif isinstance(subject, OwnSubject):
        subject = subject.model_copy(update=_hidden(subject, ("name", "group"), hide.words))
    elif isinstance(subject, SkySubject):
        subject = subject.model_copy(update=_hidden(subject, ("behind",), hide.words))
    elif isinstance(subject, LandmarkSubject):
        subject = subject.model_copy(update=_hidden(subject, ("landmark",), hide.words))
    rig = shot.rig
    if rig is not None:
        rig = rig.model_copy(update=_hidden(rig, tuple(RigChoice.model_fields), hide.names))
    return shot.model_copy(update={
        "name": texts.shots[shot.name], "subject": subject, "viewpoint": None, "aim": None, "aim_altitude": 0.0,
        "note": None, "rig": rig, **_hidden(shot, ("activity", "support", "band"), hide.words),
    })  # fmt: skip


def _entry(entry: LogEntry, texts: _Texts) -> LogEntry:
    gear = _hidden(entry, ("body", "lens", "converter", "tube", "close_up_lens"), texts.hide.names)
    said = _hidden(entry, ("why", "support"), texts.hide.words)
    return entry.model_copy(update={"shot": texts.shots[entry.shot], "note": None, "picture": None, **gear, **said})


def _shot_answers(s: ShotAnswers, shot: Shot, texts: _Texts) -> ShotAnswers:
    placed, hide = _is_placed(s.shot), texts.hide
    own = () if s.wanted is None or placed else s.wanted.notes
    wanted = s.wanted
    if wanted is not None:
        wanted = wanted._replace(
            subject=hide.words(wanted.subject), notes=(), **_hidden(wanted, ("activity", "support"), hide.words)
        )
    kept = {name: _scrubbed(getattr(s, name), texts) for name in _KEPT_OF_SHOT}
    if placed:
        kept |= {"rigs": tuple(map(_rough, kept["rigs"])), "needed_focal": (), "needed_distance": (),
                 "needed_size": (), "why_first": "" if s.best is not None else kept["why_first"]}  # fmt: skip
        wanted = None if wanted is None else _rough_wanted(wanted, s.shot.subject)
    notes = tuple(hide.words(note) for note in s.notes if note in own)
    light = None if s.light is None else _light(s.light, hide.words)
    when = _moved(s.when)
    clock = texts.clock if when is None or when.tzinfo is None else when.tzinfo
    spans = tuple(_span(_scrubbed(span, texts), clock) for span in best_spans(s))
    gains = tuple(_scrubbed(g, texts)._replace(minutes=m) for g in s.gains if (m := round(g.minutes / 10.0) * 10.0))
    return ShotAnswers(shot=shot, when=when, wanted=wanted, light=light, notes=notes, times=spans, gains=gains,
                       cautions=_cautions(s.cautions, texts), **kept)  # fmt: skip


def _light(light: Light, hide: Hide) -> Light:
    """How light it is, without where sun and moon stand."""
    said = hide(light.reason.partition(";")[0]) if light.source == "given" else light.source
    return Light(light.ev100, light.ev100_low, light.ev100_high, light.illuminance_lux, light.source, said, light.lit)


def _cautions(cautions: tuple[Caution, ...], texts: _Texts) -> tuple[Caution, ...]:
    """Cautions of a shot; of the rules for animals only that there are some: they name the country."""
    kept: list[Caution] = []
    for caution in cautions:
        if caution.kind.startswith("approach"):
            near = caution.text.partition(":")[0] if caution.text.startswith("you plan") else ""
            text = f"{near}: nearer than a rule of that country; {_APPROACH}" if near else f"approach: {_APPROACH}"
            caution = caution._replace(kind="approach", text=text, source="common practice")
            if any(held.kind == "approach" for held in kept):
                continue
        kept.append(_scrubbed(caution, texts))
    return tuple(kept)


def _span(span: WorkSpan, clock: dt.tzinfo | None) -> WorkSpan:
    """A span of work to ten minutes of the clock, its ranges outward, each end in the middle of its range."""
    off_s = (clock.utcoffset(None) or dt.timedelta()).total_seconds() if clock is not None else 0.0

    def to(ut_s: float, way: Any) -> float:
        return float(way((ut_s + off_s) / TIME_STEP_S) * TIME_STEP_S - off_s)

    ends = []
    for early, late, reason in ((span.start_early_s, span.start_late_s, span.start_reason),
                                (span.end_early_s, span.end_late_s, span.end_reason)):  # fmt: skip
        low, high = to(early, math.floor), to(late, math.ceil)
        if reason in (DAY_BEGINS, DAY_ENDS) and early == late:
            low = high = to(early, round)
        ends.append(((low + high) / 2.0, low, high))
    (start, first, second), (end, third, last) = ends
    gaps = _joined([(to(low, math.floor), to(high, math.ceil)) for low, high in span.gaps])
    return span._replace(start_s=start, start_early_s=first, start_late_s=second, end_s=end, end_early_s=third,
                         end_late_s=last, gaps=gaps)  # fmt: skip


def _joined(gaps: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Stretches that meet or overlap as one, in their order."""
    joined: list[tuple[float, float]] = []
    for low, high in sorted(gaps):
        if joined and low <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return tuple(joined)


def _figures(value: float) -> float:
    return float(f"{value:.{_FIGURES}g}") if math.isfinite(value) else value


def _rough(answer: Answer) -> Answer:
    """An answer to moon, sun or landmark with what rests on how far that is to two figures."""
    rough: dict[str, Any] = {
        name: _figures(value) for name in _BY_DISTANCE if (value := getattr(answer, name)) is not None
    }
    short = tuple(s if s.kind in _BY_LIGHT else s._replace(numbers=tuple(n and _figures(n) for n in s.numbers))
                  for s in answer.shortfalls)  # fmt: skip
    far = None if answer.distance_m is None else math.inf if answer.distance_m > 1e7 else _figures(answer.distance_m)
    focus = None if answer.focus_m is None else math.inf if answer.focus_m > 1e7 else _figures(answer.focus_m)
    return answer._replace(**rough, distance_m=far, focus_m=focus, shortfalls=short)


def _rough_wanted(wanted: Any, subject: object) -> Any:
    """What a shot of moon, sun or landmark wants: sizes and distance to two figures, of the sky no distance at all."""
    sky = isinstance(subject, SkySubject)
    ends = {name: tuple(map(_figures, pair)) for name in ("height", "width", "front_to_back")
            if (pair := getattr(wanted, name)) is not None}  # fmt: skip
    distance = None if sky or wanted.distance is None else tuple(map(_figures, wanted.distance))
    sharp = {name: _figures(value) for name in ("sharp_from_m", "sharp_to_m", "depth_m", "background_m")
             if (value := getattr(wanted, name)) is not None}  # fmt: skip
    return wanted._replace(**ends, **sharp, distance=distance, speed_m_s=_figures(wanted.speed_m_s))


def _moved(when: Any) -> Any:
    """A moment with its offset from UTC, and no zone that has a name."""
    if when is None or when.tzinfo is None:
        return when
    return when.replace(tzinfo=dt.timezone(when.utcoffset() or dt.timedelta()), fold=0)


def _scrubbed(found: Any, texts: _Texts, name: str = "") -> Any:
    """Every text in answers with stand-ins, every moment without a named zone."""
    if isinstance(found, str):
        if name == "shot":
            return texts.shots.get(found) or texts.hide.words(found)
        return found if name in _OWN_WORDS else texts.hide.names(found)
    if isinstance(found, dt.datetime):
        return _moved(found)
    if isinstance(found, tuple):
        fields = getattr(found, "_fields", None)
        if fields is None:
            return tuple(_scrubbed(part, texts, name) for part in found)
        return type(found)(*(_scrubbed(part, texts, field) for part, field in zip(found, fields, strict=True)))
    return found
