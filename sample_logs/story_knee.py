"""K-07: a knee on the stairs, twelve weeks of steady gain (invented)."""

from __future__ import annotations

import datetime as dt

from analysis.simulated_coach import CoachHabits
from analysis.simulated_diary import Dose, FurtherSide
from analysis.simulated_mornings import Mornings
from analysis.simulated_person import Person, Trend
from analysis.simulated_sessions import Conditions
from sample_logs.story import Row, Story, both_legs, effects, exercise, in_turn


def knee_on_stairs() -> Story:
    """K-07: twelve weeks, steady gain, the left worse."""
    person = Person(
        effects=effects(),
        trend=Trend(kind="linear", per_week=0.2, n_weeks=12),
        exercises=(
            exercise("step-down", "heel on wedge", both_legs(9.0, 13.0), (6, 4, 16), 2, rounds=3),
            exercise("split squat", "rear foot raised", both_legs(11, 16), (8, 6, 20), 2, slope=4.5),
            exercise(
                "box squat", "slow on a low box", {("both", "left"): 52}, (40, 30, 75), 5, slope=6,
                basis="total", rounds=3,
            ),
            exercise(
                "hip hinge", "from blocks", {("both", "left"): 320}, (50, 40, 90), 5, basis="total",
                rounds=3, harder_by=0.0,
            ),
            exercise("one-leg calf raise", "knee bent", both_legs(70, 90), (8, 6, 20), 2, harder_by=0.0),
            exercise("stair step-down, fixed load", "no rail", both_legs(6.5, 9.5), (6, 6, 6), 2, rounds=1),
        ),
    )  # fmt: skip
    box = {60: "box 10 cm", 80: "box 15 cm", 100: "box 20 cm"}
    squat = {60: "box 55 cm", 80: "box 45 cm", 100: "box 35 cm"}
    client: Row = {"client": "K-07"}
    stairs, ridge = "two floors of stairs down", "walk down from the ridge"
    return Story(
        client="K-07",
        about="front-of-knee pain on stairs and descents, both knees, the left worse; twelve weeks of steady gain",
        seed=707,
        first_day=dt.date(2026, 7, 9),
        person=person,
        conditions=Conditions(
            n_sessions=36,
            plan=in_turn(
                person,
                ("stair step-down, fixed load", "step-down", "box squat", "one-leg calf raise"),
                ("split squat", "step-down", "hip hinge"),
                ("step-down", "split squat", "box squat"),
            ),
            habits=CoachHabits(limit=3, quiet_sets=4),
            alternative_share=0.15,
        ),
        doses={
            "step-down": Dose(reps=8, stops=box),
            "split squat": Dose(reps=8, further=None),
            "box squat": Dose(reps=6, rest_s=120, stops=squat, further=FurtherSide(asked="right", log2_above=0.5)),
            "hip hinge": Dose(reps=8, rest_s=120, further=FurtherSide(asked="right", log2_above=0.3)),
            "one-leg calf raise": Dose(reps=12, rest_s=60),
            "stair step-down, fixed load": Dose(reps=10, test_set=True),
        },
        mornings=Mornings(
            usual=3.0,
            activities=("long descent from the ridge", "moved flat, many stairs", "wet steps all morning"),
        ),
        notes={
            3: "Asked again after a minute: gone.",
            40: "Kneecap feels warm, not sore.",
            97: "Knee drifts in on the last two reps.",
            160: "Came straight from the stairs of the old mill.",
            233: "Easier with the heel down.",
            301: "First time at this load without the rail.",
            388: "Talked about the ridge walk on Sunday.",
        },
        rows={
            "clients": (
                client
                | {
                    "unit": "kg", "pain_level": 2, "limit_during": 3, "limit_after": 3,
                    "limit_next_morning": 3, "bodyweight_kg": 71.0, "started": dt.datetime(2026, 7, 9),
                    "goal": "Walk down from the ridge without stopping.", "irritability": "moderate",
                    "consent": True, "note": "Invented person.",
                },
            ),
            "sites": (client | {"site": "front of knee", "region": "knee", "side": "both", "main": True},),
            "tasks": tuple(
                client | {"date": dt.datetime(2026, 7, 9) + dt.timedelta(days=14 * k), "task": task,
                          "difficulty": value}
                for task, course in ((stairs, (6, 6, 5, 4, 3, 2)), (ridge, (8, 7, 7, 5, 5, 3)))
                for k, value in enumerate(course)
            ),
            "events": (
                client | {"date": dt.datetime(2026, 8, 15), "event": "other", "note": "Moved to a third floor."},
            ),
            "variants": (
                {"exercise": "step-down", "order": 1, "variant": "standard"},
                {"exercise": "step-down", "order": 2, "variant": "heel on wedge"},
                {"exercise": "split squat", "order": 1, "variant": "standard"},
                {"exercise": "split squat", "order": 2, "variant": "rear foot raised"},
                {"exercise": "box squat", "order": 1, "variant": "standard"},
                {"exercise": "box squat", "order": 2, "variant": "slow on a low box"},
            ),
            "ranges": tuple(
                {"exercise": name, "order": k, "range_stop": stop, "rom_pct": float(rom)}
                for name, stops in (("step-down", box), ("box squat", squat))
                for k, (rom, stop) in enumerate(stops.items(), start=1)
            ),
            "limits": (
                client | {"exercise": "split squat", "max_load": 20.0, "unit": "kg",
                          "from": dt.datetime(2026, 7, 9), "by": "physiotherapist"},
            ),
        },
    )  # fmt: skip
