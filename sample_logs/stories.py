"""The five invented people of the sample logs."""

from __future__ import annotations

import datetime as dt

import numpy as np

from analysis.results import AskedSide, WorkingSide
from analysis.simulated_coach import CoachHabits
from analysis.simulated_diary import Dose, Habits
from analysis.simulated_mornings import Mornings
from analysis.simulated_person import Person, Trend, draw_person
from analysis.simulated_sessions import Conditions, random_plan
from analysis.simulated_worlds import WORLDS
from sample_logs.story import Row, Story, both_legs, effects, exercise, in_turn
from sample_logs.story_elbow import elbow_of_a_carpenter
from sample_logs.story_knee import knee_on_stairs


def low_back() -> Story:
    """B-03: almost no pain, so that lines are quiet up to the heaviest load."""
    days = tuple(7 * week + day for week in range(10) for day in (0, 3))
    midline: tuple[WorkingSide, AskedSide] = ("both", "midline")
    person = Person(
        effects=effects(day_sd=0.5),
        trend=Trend(kind="linear", per_week=0.05, n_weeks=10),
        exercises=(
            exercise("hip hinge", "from blocks", {midline: 240.0}, (40, 30, 90), 5, basis="total", rounds=3),
            exercise("bridge", "feet raised", {midline: 300.0}, (40, 30, 100), 5, basis="total", rounds=3),
            exercise("loaded carry", "on stairs", {midline: 75.0}, (16, 12, 32), 2, rounds=3),
            exercise("box squat", "wide stance", {midline: 260.0}, (40, 30, 80), 5, basis="total", rounds=3),
            exercise("side plank", "feet raised", both_legs(40.0, 40.0), (10, 10, 10), 1, basis="bodyweight"),
        ),
    )
    client: Row = {"client": "B-03"}
    return Story(
        client="B-03",
        about="low back, pain in the midline, almost none over ten weeks",
        seed=303,
        first_day=dt.date(2026, 7, 20),
        person=person,
        conditions=Conditions(
            n_sessions=len(days),
            days=days,
            plan=in_turn(
                person,
                ("hip hinge", "loaded carry", "side plank", "bridge"),
                ("box squat", "hip hinge", "loaded carry", "side plank"),
            ),
            habits=CoachHabits(limit=2, quiet_sets=4),
            alternative_share=0.1,
        ),
        doses={
            "hip hinge": Dose(reps=8, rest_s=120),
            "bridge": Dose(reps=10),
            "loaded carry": Dose(reps=None, hold_s=45),
            "box squat": Dose(reps=8, rest_s=120),
            "side plank": Dose(reps=None, hold_s=30, rest_s=45, loaded=False),
        },
        habits=Habits(blank_pain_share=0.08, usual_pain_at="top"),
        mornings=Mornings(usual=1.0, every=3, activities=("long drive over the pass",)),
        notes={30: "Back felt stiff on arrival, gone after two sets."},
        rows={
            "clients": (
                client
                | {
                    "unit": "kg", "pain_level": 2, "limit_during": 2, "limit_after": 3, "limit_next_morning": 3,
                    "started": dt.datetime(2026, 7, 20), "goal": "Carry a rucksack over the pass.",
                    "irritability": "low", "consent": True, "note": "Invented person.",
                },
            ),
            "sites": (client | {"site": "low back", "region": "low back", "side": "midline", "main": True},),
            "limits": (
                client | {"exercise": "hip hinge", "max_load": 80.0, "unit": "kg",
                          "from": dt.datetime(2026, 7, 20), "by": "physiotherapist"},
            ),
        },
    )  # fmt: skip


def newcomer() -> Story:
    """N-01: two sessions only, so that most answers have to wait."""
    person = Person(
        effects=effects(),
        trend=Trend(kind="none", per_week=0.0, n_weeks=1),
        exercises=(
            exercise("step-up", "sideways", both_legs(9.0, 14.0), (6, 4, 16), 2),
            exercise(
                "box squat", "wide stance", {("both", "left"): 60.0}, (40, 30, 75), 5, basis="total", rounds=3
            ),
        ),
    )
    client: Row = {"client": "N-01"}
    return Story(
        client="N-01",
        about="inner-knee pain on the left, two sessions only",
        seed=11,
        first_day=dt.date(2026, 9, 24),
        person=person,
        conditions=Conditions(
            n_sessions=2,
            days=(0, 4),
            plan=in_turn(person, ("step-up", "box squat")),
            habits=CoachHabits(limit=3, quiet_sets=2),
            alternative_share=0.0,
        ),
        rows={
            "clients": (client | {"unit": "kg", "pain_level": 2, "started": dt.datetime(2026, 9, 24)},),
            "sites": (client | {"site": "inner knee", "region": "knee", "side": "left", "main": True},),
        },
    )


def a_year() -> Story:
    """Y-20: three sessions a week for a year, a client of the simulated world WY."""
    world = WORLDS["WY"]
    person = draw_person(np.random.default_rng(2020), world)
    client: Row = {"client": "Y-20"}
    return Story(
        client="Y-20",
        about="low back, in the middle and to either side; a year of three sessions a week",
        seed=2021,
        first_day=dt.date(2025, 10, 2),
        person=person,
        conditions=Conditions(
            n_sessions=world.n_sessions,
            plan=random_plan(sum(e.two_sided for e in person.exercises), world.n_exercises),
            habits=CoachHabits(limit=3, quiet_sets=3),
        ),
        habits=Habits(blank_pain_share=0.02, usual_pain_at="middle"),
        mornings=Mornings(usual=2.5, per_log_odds=0.4, every=7, activities=("snow shovelled before work",)),
        rows={
            "clients": (
                client
                | {
                    "unit": "kg", "pain_level": 2, "limit_during": 3, "limit_after": 3, "limit_next_morning": 3,
                    "bodyweight_kg": 78.0, "started": dt.datetime(2025, 10, 2),
                    "goal": "Guide day walks again.", "consent": True, "note": "Invented person.",
                },
            ),
            "sites": (client | {"site": "low back", "region": "low back", "side": "both", "main": True},),
            "events": (
                client | {"date": dt.datetime(2026, 2, 9), "event": "illness", "note": "A cold, trained on."},
            ),
        },
    )  # fmt: skip


def stories() -> tuple[Story, ...]:
    """All sample logs."""
    return knee_on_stairs(), elbow_of_a_carpenter(), low_back(), newcomer(), a_year()
