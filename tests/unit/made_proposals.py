"""Hand-made days, mornings and risks for the tests of proposals: a line at 12 kg in each hand that may go to 13."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np

from analysis.client_settings import ClientSettings
from analysis.questions.mornings import Morning
from analysis.questions.proposal_history import DayAtLoad, Exposure
from analysis.questions.proposal_loads import Risk
from analysis.results import Tried, TriedLoad

LAST = dt.date(2026, 9, 25)
NEXT = dt.date(2026, 9, 28)
CLIENT = ClientSettings(
    client="T-01",
    unit="kg",
    pain_level=2,
    limit_during=None,
    limit_after=None,
    limit_next_morning=None,
    bodyweight_kg=None,
    site_name=None,
    site_region=None,
    site_side=None,
)
TRIED = Tried(
    n_sets=24,
    n_asked=24,
    n_painful=1,
    n_sessions=8,
    lightest_kg=8.0,
    heaviest_kg=14.0,
    last_load_kg=12.0,
    last_date=LAST,
    loads=(
        TriedLoad(load_kg=8.0, n_asked=8, n_painful=0),
        TriedLoad(load_kg=12.0, n_asked=15, n_painful=0),
        TriedLoad(load_kg=14.0, n_asked=1, n_painful=1),
    ),
    load_step_kg=1.0,
    unit="kg",
    load_basis="per hand",
)
DAY = Exposure(
    day=LAST,
    loads=(DayAtLoad(load_kg=12.0, n_asked=3, n_painful=0),),
    n_asked=3,
    n_painful=0,
    painkiller=False,
    feels=(),
    left_it=False,
    stopped_for_pain=False,
    compensation_clear=False,
    goal_met=True,
    least_rir=2.0,
    last_reps=8.0,
    target_reps=8.0,
    lifting_s=1.0,
)
USUAL_MORNING = Morning(day=LAST + dt.timedelta(days=1), pain=1, usual=1.0, up=False, flare_begins=False)
MORNINGS = {USUAL_MORNING.day: USUAL_MORNING}


def day(back: int, *loads: tuple[float, int, int], **more: object) -> Exposure:
    """A day so many days before the last one: (load in kg, asked, painful) for each load, lightest first."""
    at = tuple(DayAtLoad(load_kg=load, n_asked=n, n_painful=hurt) for load, n, hurt in loads)
    plain = {
        "day": LAST - dt.timedelta(days=back),
        "loads": at,
        "n_asked": sum(load.n_asked for load in at),
        "n_painful": sum(load.n_painful for load in at),
    }
    return replace(DAY, **(plain | more))  # type: ignore[arg-type]


def risk(line_kg: float, *, sd: float = 0.05) -> Risk:
    """Draws of a line about a load, and a chance that is .2 there and rises .1 a kilogram."""
    steps = (np.arange(200) + 0.5) / 200
    return Risk(
        log2_line=np.log2(line_kg) + sd * np.log(steps / (1 - steps)),
        mean_chance=lambda load: 0.2 + 0.1 * (load - line_kg),
    )
