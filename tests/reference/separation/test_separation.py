"""Two logs on which ordinary engines fail: pain that never came, and pain at every set above 12 kg.

Maximum likelihood has no finite answer for either: on the second, glm, glmer and glmmTMB print load slopes near
1000-2000 with standard errors up to 1e7, and several engines refuse the first (R 4.2.2, lme4 1.1.31,
glmmTMB 1.1.5, ordinal 2022.11.16; run 2026-11). The data are simulated: 12 sessions of 18 sets.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from analysis.models.pain_fit import PainFit
from analysis.models.pain_model import fit_pain_model
from analysis.questions.pain_line import pain_line
from analysis.results import PainLine
from tests.small_logs import small_log

HERE = Path(__file__).parent
LINE_EVEN_KG = (11.8, 13.2)
LINE_TWO_OF_TEN_KG = (10.7, 12.1)


def fitted(name: str) -> PainFit:
    """The stored sets as a log of one client, three sessions a week."""
    rows = pd.read_csv(HERE / name)
    session = rows["session"].str[1:].astype(int) - 1
    day = 7 * (session // 3) + np.array([0, 2, 4])[session % 3]
    side = rows["side"].map({"L": "left", "R": "right"})
    sets = pd.DataFrame(
        {
            "client": "T-01",
            "date": pd.Timestamp("2026-03-02") + pd.to_timedelta(day, unit="D"),
            "session": 1,
            "set": rows["order"],
            "exercise": rows["exercise"],
            "side": side,
            "load": rows["load"],
            "unit": "kg",
            "reps": 8,
            "tempo": rows["ecc"].astype(int).astype(str) + "-0-1-0",
            "pain_left": rows["pain"].where(side == "left"),
            "pain_right": rows["pain"].where(side == "right"),
        }
    )
    return fit_pain_model(small_log(sets.to_dict("records")), client="T-01")


@pytest.fixture(scope="module")
def never() -> PainFit:
    return fitted("never_painful.csv")


@pytest.fixture(scope="module")
def above_12() -> PainFit:
    return fitted("painful_above_12kg.csv")


def test_never_painful_is_quiet_up_to_the_heaviest(never: PainFit) -> None:
    assert len(never.tried) == 22
    for key, tried in never.tried.items():
        line = pain_line(never, exercise=key.exercise, variant=key.variant, side=key.side)
        assert isinstance(line, PainLine)
        assert line.status == "above_tried"
        assert line.low_kg == pytest.approx(tried.heaviest_kg)
        assert (line.load_kg, line.high_kg) == (None, None)


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize(("chance", "within"), [(0.5, LINE_EVEN_KG), (0.2, LINE_TWO_OF_TEN_KG)])
def test_a_perfect_gap_gives_a_finite_line(
    above_12: PainFit, side: str, chance: float, within: tuple[float, float]
) -> None:
    line = pain_line(above_12, exercise="E01", variant="standard", side=side, chance=chance)
    assert isinstance(line, PainLine)
    assert line.status == "reached"
    assert line.load_kg is not None
    assert within[0] <= line.load_kg <= within[1]
    assert line.low_kg is not None
    assert line.high_kg is not None
    assert 0 < line.low_kg < line.load_kg < line.high_kg < 2 * line.load_kg


def test_both_fits_settle(never: PainFit, above_12: PainFit) -> None:
    for fit in (never, above_12):
        assert fit.convergence.converged
        assert np.isfinite(fit.slopes).all()
