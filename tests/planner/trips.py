"""Invented plans and kits for the kit decision: made as a person writes them, and read as the program reads them."""

from __future__ import annotations

import random
from typing import Any

from fieldplan.model.catalogue import Catalogue
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.planner.packing import Packing, packing
from fieldplan.planner.rigs import Kit, prepare
from fieldplan.planner.setting import Setting
from fieldplan.planner.trip import TripShot, trip_shots

from .shots import lists

Table = dict[str, Any]
FULL: Table = {"name": "full", "sensor": "36x24 mm", "pixels": "6000x4000", "mount": "A", "weight": "0.7 kg"}
CROP: Table = {"name": "crop", "sensor": "24x16 mm", "pixels": "6000x4000", "mount": "A", "weight": "0.45 kg"}


def profile(**groups: Any) -> Profile:
    """A profile of these lists, named as in the file."""
    return Profile.model_validate({"fieldplan_profile": 1, "name": "invented", **groups})


def plan(*shots: Table, **more: Any) -> Plan:
    named = [{"name": f"picture {i}", **shot} for i, shot in enumerate(shots)]
    return Plan.model_validate({"fieldplan_plan": 1, "title": "invented", "shot": named, **more})


def trip(
    kit: Kit, *shots: Table, catalogue: Catalogue | None = None, countries: tuple[str, ...] = (), **more: Any
) -> tuple[TripShot, ...]:
    """The pictures of one plan, assessed."""
    return trip_shots([(plan(*shots, **more), Setting(catalogue or lists(), None, countries))], kit)


def packed(gear: Profile, *shots: Table, candidates: bool = True, **more: Any) -> Packing:
    kit = prepare(gear, candidates=candidates)
    return packing(trip(kit, *shots, **more), kit)


def thing(height: str, **more: Any) -> Table:
    return {"name": "thing", "height": height, **more}


def some_kit(rng: random.Random, bodies: int, lenses: int, converters: int, supports: int = 1) -> Table:
    """Lists of a random kit; everything has a weight, now and then the same as another's."""
    names = [f"{1.4 + 0.3 * i:.1f}x" for i in range(converters)]
    made: Table = {"body": [], "lens": [], "converter": [], "support": []}
    for i in range(bodies):
        sensor = rng.choice(["36x24 mm", "24x16 mm", "17.3x13 mm"])
        body = {"name": f"body {i}", "sensor": sensor, "pixels": "6000x4000", "mount": rng.choice("AAB")}
        made["body"].append({**body, "weight": rng.randint(3, 12) / 10, "iso_ceiling": rng.choice([1600, 6400])})
    for i in range(lenses):
        long = rng.choice([24, 50, 85, 135, 200, 300, 400, 600])
        focal = f"{long} mm" if rng.random() < 0.4 else f"{long / rng.choice([2, 3, 4])}-{long} mm"
        lens: Table = {"name": f"lens {i}", "focal": focal, "f_number": rng.choice([1.8, 2.8, 4, 5.6]), "mount": "A"}
        if rng.random() < 0.25:
            lens["mount"] = "B"
        if rng.random() < 0.3:
            lens["covers"] = rng.choice(["24x16 mm", "17.3x13 mm"])
        lens["weight"] = rng.randint(2, 30) / 10
        lens["converters"] = [name for name in names if rng.random() < 0.5]
        made["lens"].append(lens)
    made["converter"] = [
        {"name": name, "factor": float(name[:-1]), "mount": "A", "weight": rng.randint(1, 3) / 10} for name in names
    ]
    made["support"] = [{"name": f"support {i}", "shake": 0.0, "weight": 1.5 - i * 0.5} for i in range(supports)]
    return made


def some_pictures(rng: random.Random, count: int, supports: int = 1) -> list[Table]:
    """Wishes that lenses of 15 to 600 mm may or may not fill, some of them dim and on a support."""
    shots = []
    for _ in range(count):
        away = rng.choice([3, 8, 20, 40, 90])
        wide = away * 0.036 / rng.choice([0.02, 0.04, 0.08, 0.2, 0.35, 0.5])
        shot: Table = {"subject": thing(f"{wide * 0.5:.3f} m"), "distance": f"{away} m", "fill": "35-80 %"}
        shot["must"] = rng.random() < 0.6
        shot["light"] = f"EV {rng.choice([6, 8, 10, 12, 14])}"
        if supports and rng.random() < 0.4:
            shot["support"] = f"support {rng.randrange(supports)}"
        shots.append(shot)
    return shots
