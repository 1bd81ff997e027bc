"""Tiny and lopsided logs: every one gets an answer or a reason, never an exception or a number that is not finite."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.models.pain_fit import PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.questions.pain_line import pain_line
from analysis.results import PainLine, Withheld
from tests.small_logs import small_log, squat

FEW = PainOptions(n_draws=320)


def random_rows(rng: np.random.Generator) -> list[dict[str, object]]:
    """A log of 1 to 40 sets in which loads, scores and names may be anything allowed."""
    n = int(rng.integers(1, 41))
    flavour = rng.choice(
        ["any", "all 10", "one session", "mostly blank", "one load", "many exercises", "wide loads"]
    )
    rows = []
    for i in range(n):
        day = 0 if flavour == "one session" else int(rng.integers(0, 200))
        load = 20.0 if flavour == "one load" else float(np.round(rng.choice([0.5, 3, 8, 12, 60, 500]), 1))
        if flavour == "wide loads":
            load = float(np.round(np.exp(rng.uniform(np.log(0.5), np.log(500))), 2))
        pain: int | None = 10 if flavour == "all 10" else int(rng.integers(0, 11))
        if flavour == "mostly blank" and i:
            pain = None
        name = f"drill {i}" if flavour == "many exercises" else f"drill {rng.integers(0, 3)}"
        side = str(rng.choice(["left", "right", "both"]))
        more: dict[str, object] = {"exercise": name, "side": side}
        if rng.random() < 0.2:
            more["variant"] = "supported"
        if rng.random() < 0.1:
            more |= {"load": None, "load_basis": "band", "band": "green"}
        if rng.random() < 0.1:
            more |= {"stopped_for": "pain", "pain_left": None}
        if rng.random() < 0.2:
            more |= {"tempo": "4-1-X-0", "rom_pct": float(rng.integers(0, 151))}
        rows.append(squat(day, i + 1, load, pain) | more)
    return rows


@pytest.mark.parametrize("batch", range(10))
def test_every_line_is_answered_or_withheld_by_rule(batch: int) -> None:
    rng = np.random.default_rng(100 + batch)
    for _ in range(5):
        fit = fit_pain_model(small_log(random_rows(rng)), client="T-01", options=FEW)
        for key, tried in fit.tried.items():
            answer = pain_line(
                fit, exercise=key.exercise, variant=key.variant, side=key.side, works=key.works
            )
            if isinstance(answer, Withheld):
                assert tried.n_asked < 6 or len(tried.loads) == 1
                assert answer.reason
                assert answer.remedy
                continue
            assert isinstance(answer, PainLine)
            stated = [answer.load_kg, answer.low_kg, answer.high_kg, answer.low95_kg, answer.high95_kg]
            assert all(value is None or (np.isfinite(value) and value >= 0) for value in stated)
            if answer.status != "no_load":
                assert answer.last is not None
                assert 0 <= answer.last.low <= answer.last.chance <= 1
