"""Names in picture files and names in the profile; a camera whose clock is hours off; gear that is offered."""

from __future__ import annotations

import datetime as dt

import pytest

from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.planner.clockhints import clock_hints
from fieldplan.planner.matching import entries_from, match_pictures
from fieldplan.planner.offered import Offer, offers
from fieldplan.planner.owned import owned_name, same_things
from fieldplan.planner.seen import LensRange, Seen
from fieldplan.planner.tallies import sensors_of, tally

from .shots import gear

ZONE = "Europe/Berlin"


def profile(**body: object) -> Profile:
    return Profile.model_validate(gear({"name": "500", "focal": "500 mm", "f_number": "4"}, body=body))


def test_a_body_is_found_by_what_files_call_it() -> None:
    held = profile(known_as=["Full One", "F1"])
    own = held.bodies[0].name
    assert owned_name("full  ONE", held.bodies) == own and owned_name("f1", held.bodies) == own
    assert owned_name("Full Two", held.bodies) == "Full Two" and owned_name(None, held.bodies) is None
    assert "full one" in sensors_of(held) and offers([Seen("a", body="Full One")], held) == ()


def test_an_entry_takes_the_profiles_name_and_the_figures_as_they_were_written() -> None:
    """Exif 2.32: ExposureTime 1/1250, PhotographicSensitivity 1250, FNumber 1.25."""
    plan = Plan.model_validate({"fieldplan_plan": 1, "title": "x", "date": "2027-03-14",
                                "shot": [{"name": "heron", "time": "07:20"}]})  # fmt: skip
    held = profile(known_as=["Full One"])
    seen = Seen("a.jpg", dt.datetime(2027, 3, 14, 7, 21), None, "Full One", None, 0.05, None, 1.25, 1 / 1250, 1250.0)
    matched = match_pictures([seen], plan, ZONE)
    (entry,) = entries_from(matched, plan, {"body": held.bodies, "lens": held.lenses})
    assert entry["body"] == held.bodies[0].name
    assert (entry["f_number"], entry["shutter"], entry["iso"]) == ("1.25", "1/1250", 1250.0)


def test_gear_with_another_name_is_suggested_by_what_it_has_in_common() -> None:
    held = profile()
    body, lens = held.bodies[0], held.lenses[0]
    pixels = (int(body.pixels.width), int(body.pixels.height))
    seen = Seen("a", body="Full One", lens="Tele 500", pixels=pixels, lens_range=LensRange(0.5, 0.5, 4.0, 4.0))
    told = {thing.kind: thing for thing in same_things([seen], held)}
    assert told["body"].held == body.name and told["lens"].held == lens.name
    assert 'known_as = ["Full One"]' in told["body"].line
    assert same_things([Seen("a", body="Other", pixels=(123, 100))], held) == ()


def test_a_clock_an_hour_off_is_noticed_by_its_body() -> None:
    plan = Plan.model_validate({"fieldplan_plan": 1, "title": "x", "date": "2027-03-14",
                                "shot": [{"name": "deer", "time": "07:20"}]})  # fmt: skip
    late = [Seen(f"l{i}", dt.datetime(2027, 3, 14, 8, 20, i), body="Two") for i in range(20)]
    good = [Seen(f"g{i}", dt.datetime(2027, 3, 14, 7, 20, i), body="One") for i in range(20)]
    (hint,) = clock_hints([*late, *good], plan, ZONE, 900.0)
    assert (hint.body, hint.now, hint.then, hint.hours) == ("Two", 0, 20, -1)
    assert '--of "Two" --ahead 1:00' in hint.line
    assert clock_hints(good, plan, ZONE, 900.0) == () and clock_hints(late[:4], plan, ZONE, 900.0) == ()
    assert clock_hints(late, plan, ZONE, 900.0, -3600.0) == (), "put right already"


def lens_offer(seen: Seen) -> Offer:
    return next(o for o in offers([seen], None) if o.kind == "lens")


@pytest.mark.parametrize(
    ("said", "focal", "widest"),
    [
        (LensRange(0.024, 0.07, 4.0, 2.8), "24-70 mm", "2.8"),
        (LensRange(0.00425, 0.00425, 1.78, 1.78), "4.25 mm", "1.78"),
        (LensRange(0.05, 0.05, 0.95, 0.95), "50 mm", "0.95"),
        (LensRange(0.05, 0.05, 1.25, None), "50 mm", "1.25"),
        (LensRange(0.0006, 0.0006, 2.0, 2.0), None, "2"),
    ],
)
def test_what_is_offered_can_be_read_and_is_not_rounded(said: LensRange, focal: str | None, widest: str) -> None:
    fields = {key: value for key, value, _ in lens_offer(Seen("a", lens="L", lens_range=said)).fields}
    assert (fields["focal"], fields["f_number"]) == (focal, widest)
    if focal is not None:
        lens = {"name": "L", "focal": focal, "f_number": widest, "mount": "A"}
        read = Profile.model_validate({"fieldplan_profile": 1, "name": "p", "lens": [lens]})
        assert read.lenses[0].f_number.typed == widest


def test_far_off_values_are_told_as_gathered() -> None:
    pictures = [Seen(f"a{i}", shutter_s=1 / 2000) for i in range(9)] + [Seen("b", shutter_s=800_000.0)]
    shutters = next(t for t in tally(pictures).tallies if t.title == "shutter")
    assert shutters.known == 10 and sum("and beyond" in one.label for one in shutters.bins if one.pictures == 1) == 1
    assert not any("beyond" in one.label for one in shutters.bins if one.pictures == 9)
