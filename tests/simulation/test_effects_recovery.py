"""Effects of a change hold the truth and strong ones are found, in eight clients of three months.

The full study is ``python tests/simulation/effects_study.py``. Eight clients have 104 effects, which hang
together within a client; the bounds leave four standard errors of independent ones.
"""

from __future__ import annotations

import pandas as pd
import pytest

from tests.simulation.effects_study import run, strong

N_CLIENTS = 8


@pytest.fixture(scope="module")
def found() -> pd.DataFrame:
    return run(range(1, N_CLIENTS + 1), world="W2", kind="mixed")


def test_intervals_hold_the_truth(found: pd.DataFrame) -> None:
    assert found["in95"].mean() >= 0.86
    assert 0.63 <= found["in80"].mean() <= 0.95


def test_strong_effects_are_shown_with_the_right_sign_and_absent_ones_are_rarely_sure(
    found: pd.DataFrame,
) -> None:
    several = found[found["term"].isin(["lowering_s", "rom_pct", "place", "provoked"])]
    big = several[several["truth"].abs() >= several["term"].map(strong) - 1e-9]
    assert len(big) >= 12
    assert big["shown"].mean() >= 0.85
    assert (big["sure"] & big["right"]).mean() >= 0.9
    variants = found[(found["term"] == "variant") & (found["truth"] != 0.0)]
    assert len(variants) >= 12
    assert variants["shown"].mean() >= 0.75
    assert found[found["truth"] == 0]["sure"].mean() <= 0.2
