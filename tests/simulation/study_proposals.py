"""Loads that rules would propose for the next session, against a coach who knows the truth.

The last rule is the program's (`analysis.questions.proposal.proposals`) with quiet loads held up to the whole of what
may hurt; `proposal_study.py` measures the share of it that the program uses. The simulated logs hold no mornings,
targets or reps in reserve, so it is told not to wait for them; every other reason to hold is at work.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import pandas as pd

from analysis.models.pain_fit import PainFit
from analysis.models.prediction import chance_draws, line_draws
from analysis.questions.proposal import proposals
from analysis.questions.proposal_settings import ProposalSettings
from analysis.results import LineKey, Setting, Tried
from analysis.simulate import SimulatedClient
from tests.simulation.study_lines import true_setting
from tests.simulation.study_next_session import asked_sets

MAY_HURT = 0.2
"""Share of sets that may hurt."""
RECENT = dt.timedelta(days=21)
ORACLE = "oracle"

Row = dict[str, object]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Choice:
    """What a rule may look at when it chooses a load.

    Attributes
    ----------
    loads_kg : ndarray
        Loads of the equipment up to the cap, lightest first.
    heaviest_quiet_kg : float or None
        Heaviest load all of whose sets of a day were quiet, in the last three weeks.
    log2_line : ndarray, shape (n_draws,)
        Draws of the line at `MAY_HURT`.
    mean_chance : callable
        Mean chance of pain at a load.
    """

    loads_kg: np.ndarray
    heaviest_quiet_kg: float | None
    log2_line: np.ndarray
    mean_chance: Callable[[float], float]

    def heaviest_by_quantile(self, share: float) -> float | None:
        """Heaviest load whose chance of pain stays at `MAY_HURT` in that share of the draws.

        A draw's chance is under the limit exactly where the load is under that draw's line.
        """
        within = self.loads_kg[np.log2(self.loads_kg) <= np.quantile(self.log2_line, 1.0 - share)]
        return float(within[-1]) if len(within) else None

    def heaviest_by_mean(self, limit: float) -> float | None:
        """Heaviest load whose mean chance of pain is within the limit, by bisection: it rises with load."""
        low, high = 0, len(self.loads_kg)
        while low < high:
            middle = (low + high) // 2
            if self.mean_chance(float(self.loads_kg[middle])) <= limit:
                low = middle + 1
            else:
                high = middle
        return float(self.loads_kg[low - 1]) if low else None


PROGRAM = "program, held to mean <= .2"
LOGGED_HERE = ProposalSettings(
    held_share=1.0,
    needs_next_morning=False,
    needs_target=False,
    needs_reserve=False,
    reps_first_above=np.inf,
)
"""What the simulated logs can tell: repetitions are the same in every set."""

RULES: dict[str, Callable[[Choice], float | None]] = {
    "80 % quantile <= .2": lambda choice: choice.heaviest_by_quantile(0.8),
    "mean <= .15": lambda choice: choice.heaviest_by_mean(0.15),
    "70 % quantile <= .2": lambda choice: choice.heaviest_by_quantile(0.7),
}


PROGRAMS = MappingProxyType({PROGRAM: LOGGED_HERE})


def proposal_rows(
    fit: PainFit, client: SimulatedClient, programs: Mapping[str, ProposalSettings] = PROGRAMS
) -> list[Row]:
    """What each rule proposes for each exercise and side in its standard variant, and what is true of it.

    Parameters
    ----------
    fit : PainFit
    client : SimulatedClient
    programs : mapping of str to ProposalSettings
        The program's rule under some settings, by name.

    Returns
    -------
    list of dict
        One for each line and rule, the oracle included: heaviest load within the same cap whose true chance is
        within `MAY_HURT`. ``feasible`` is False where no load qualifies; the lightest one is then taken.
    """
    if fit.design is None:
        return []
    asked = asked_sets(client.log.sets)
    proposed = {
        name: {one.key: one.load_kg for one in proposals(client.log, fit, settings=settings)}
        for name, settings in programs.items()
    }
    rows: list[Row] = []
    for key in client.truth.keys:
        tried = fit.tried.get(key)
        if tried is None or tried.last_load_kg is None:
            continue
        own = asked[
            (asked["exercise"] == key.exercise)
            & (asked["variant"] == key.variant)
            & (asked["works"] == key.works)
        ]
        mine = {name: loads.get(key) for name, loads in proposed.items()}
        rows.extend(_line_rows(fit, client, key, tried, own, mine))
    return rows


def _line_rows(
    fit: PainFit,
    client: SimulatedClient,
    key: LineKey,
    tried: Tried,
    own: pd.DataFrame,
    proposed: Mapping[str, float | None],
) -> Iterator[Row]:
    assert fit.design is not None
    design = fit.design
    at = true_setting(design, key, Setting())
    last_day = client.log.sets["date"].max()
    quiet = heaviest_quiet_kg(own, since=last_day - RECENT)
    choice = Choice(
        loads_kg=equipment_loads_kg(tried, quiet),
        heaviest_quiet_kg=quiet,
        log2_line=line_draws(fit, design, key, level=fit.level, chance=MAY_HURT),
        mean_chance=lambda load: float(
            chance_draws(fit, design, key, np.array([load]), level=fit.level).mean()
        ),
    )
    true_line = client.truth.log2_line(key, fit.level, MAY_HURT, at=at)
    within = choice.loads_kg[np.log2(choice.loads_kg) <= true_line]
    best = float(within[-1]) if len(within) else None
    last_quiet = not own.loc[own["date"] == own["date"].max(), "hurt"].any()
    chosen = {ORACLE: best, **proposed} | {name: choose(choice) for name, choose in RULES.items()}
    for rule, load in chosen.items():
        taken = float(choice.loads_kg[0]) if load is None else load
        yield {
            "exercise": key.exercise,
            "side": key.side,
            "rule": rule,
            "load_kg": taken,
            "feasible": load is not None,
            "truth": client.truth.chance_at(key, taken, fit.level, at=at),
            "given_up": float(np.log2((choice.loads_kg[0] if best is None else best) / taken)),
            "last_kg": tried.last_load_kg,
            "last_quiet": last_quiet,
            "any_quiet": quiet is not None,
            "n_asked": tried.n_asked,
        }


def heaviest_quiet_kg(own: pd.DataFrame, *, since: pd.Timestamp) -> float | None:
    """Heaviest load of which no set of a day hurt, on days after `since`."""
    recent = own[own["date"] > since]
    hurt = recent.groupby(["date", "load_kg"])["hurt"].any()
    quiet = hurt.index.get_level_values("load_kg")[~hurt.to_numpy(bool)]
    return float(quiet.max()) if len(quiet) else None


def equipment_loads_kg(tried: Tried, quiet_kg: float | None) -> np.ndarray:
    """Loads the equipment has, up to one step above the heaviest quiet load, or to the lightest tried."""
    step = tried.load_step_kg
    assert step is not None
    assert tried.lightest_kg is not None
    cap = tried.lightest_kg if quiet_kg is None else quiet_kg + step
    return step * np.arange(1, max(1, round(cap / step)) + 1)
