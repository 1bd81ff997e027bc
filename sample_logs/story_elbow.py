"""E-12: a carpenter's elbow, with a flare and a week away (invented)."""

from __future__ import annotations

import datetime as dt

from analysis.simulated_coach import CoachHabits
from analysis.simulated_diary import Dose, Habits
from analysis.simulated_mornings import Mornings
from analysis.simulated_person import Person, Trend
from analysis.simulated_sessions import Conditions
from analysis.simulated_worlds import session_day
from sample_logs.story import Row, Story, both_legs, effects, exercise, in_turn


def elbow_of_a_carpenter() -> Story:
    """E-12: twelve weeks, a flare in week 8, a week away."""
    days = tuple(session_day(k) for k in range(36) if session_day(k) // 7 != 9)
    person = Person(
        effects=effects(day_sd=0.7),
        trend=Trend(kind="flare", per_week=0.14, n_weeks=12, flare_week=7.0, flare_height=3.2),
        exercises=(
            exercise(
                "wrist lowering", "elbow straight", both_legs(14.0, 3.6), (2, 1, 8), 1, rounds=3, slope=3.5
            ),
            exercise("one-arm row", "palm down", both_legs(70.0, 22.0), (14, 10, 32), 2),
            exercise("suitcase carry", "thick handle", both_legs(80.0, 21.0), (16, 12, 32), 2),
            exercise(
                "rope pull-down",
                "palms up",
                {("both", "right"): 31.0},
                (20, 15, 45),
                2.5,
                basis="stack",
                rounds=3,
            ),
            exercise("towel wring", "wet towel", {("both", "right"): 9.5}, (8, 8, 8), 1, basis="band"),
            exercise(
                "hip hinge",
                "from blocks",
                {("both", "right"): 380.0},
                (60, 50, 110),
                5,
                basis="total",
                rounds=3,
            ),
        ),
    )
    client: Row = {"client": "E-12"}

    def day(month: int, number: int) -> dt.datetime:
        return dt.datetime(2026, month, number)

    return Story(
        client="E-12",
        about="outer-elbow pain on the right in a carpenter who carries and pulls; flare in week 8, week 10 away",
        seed=1212,
        first_day=dt.date(2026, 7, 6),
        person=person,
        conditions=Conditions(
            n_sessions=len(days),
            days=days,
            plan=in_turn(
                person,
                ("wrist lowering", "one-arm row", "hip hinge", "towel wring"),
                ("suitcase carry", "rope pull-down", "wrist lowering"),
                ("one-arm row", "hip hinge", "suitcase carry", "towel wring"),
            ),
            habits=CoachHabits(limit=3, quiet_sets=4),
            alternative_share=0.2,
        ),
        doses={
            "wrist lowering": Dose(reps=10),
            "one-arm row": Dose(reps=8),
            "suitcase carry": Dose(reps=None, hold_s=40),
            "rope pull-down": Dose(reps=10),
            "towel wring": Dose(reps=12, band="green"),
            "hip hinge": Dose(reps=6, rest_s=120),
        },
        habits=Habits(blank_pain_share=0.04, usual_pain_at="throughout"),
        mornings=Mornings(
            usual=2.2, per_log_odds=0.9, painkiller_from=4, away=tuple(range(62, 70)),
            activities=("carried roof beams", "a day of sawing by hand", "two floors of door frames"),
        ),
        notes={
            12: "Grip tires before the arm does.",
            150: "Beams carried the day before.",
            205: "Stopped at the first sign, waited two minutes.",
            260: "Better since the thicker handle is left out.",
        },
        rows={
            "clients": (
                client
                | {
                    "unit": "kg", "pain_level": 2, "limit_during": 3, "limit_after": 3, "limit_next_morning": 3,
                    "bodyweight_kg": 84.0, "started": day(7, 6),
                    "goal": "A full day of carrying without thinking of it.",
                    "irritability": "moderate", "consent": True, "note": "Invented person.",
                },
            ),
            "sites": (client | {"site": "outer elbow", "region": "elbow", "side": "right", "main": True},),
            "tasks": tuple(
                client | {"date": day(7, 6) + dt.timedelta(days=14 * k), "task": "carry a beam up the stairs",
                          "difficulty": value}
                for k, value in enumerate((7, 6, 5, 6, 5, 4))
            ),
            "events": (
                client | {"date": day(8, 24), "event": "flare", "note": "Three days of roof beams."},
                client | {"date": day(8, 27), "event": "clinician", "note": "Seen; carry on, lighter for two weeks."},
                client | {"date": day(9, 7), "event": "away", "note": "A week in the hills, no training."},
            ),
            "variants": tuple(
                {"exercise": e.name, "order": k, "variant": variant}
                for e in person.exercises
                for k, variant in ((1, "standard"), (2, e.alternative))
            ),
            "limits": (
                client | {"exercise": "suitcase carry", "max_load": 24.0, "unit": "kg", "from": day(8, 27),
                          "until": day(9, 10), "by": "clinician"},
            ),
        },
    )  # fmt: skip
