"""Real 0-10 pain scores, seven in ten of them 0, in the linear mixed model, against lme4.

Ruetzler et al. 2013, Anesth Analg 117:614-621: throat pain of 233 patients after surgery, gargle of licorice or sugar.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.reference.licorice.scores import long_scores
from tests.reference.lmer_checks import LmerCase, check_against_lmer, values

TIMES = ("90min", "4h", "morning")


@pytest.mark.parametrize("reml", [True, False])
def test_raw_scores(reml: bool) -> None:
    rows = long_scores()
    ones = np.ones((len(rows), 1))
    times = [(rows["time"] == time).to_numpy(float) for time in TIMES]
    X = np.column_stack([ones, rows["treat"].to_numpy(float), *times])
    case = LmerCase(rows["pain"].to_numpy(float), X, (rows["id"].to_numpy(str),), (ones,))
    check_against_lmer(case, values("licorice_linear")["reml" if reml else "ml"], reml=reml)
