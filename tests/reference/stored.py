"""The values a case keeps beside its test, and how a fit is held against them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np

from analysis.models.cumulative_link_result import CumulativeLinkFit


def stored(test_file: str) -> dict[str, Any]:
    """values.json beside a test file."""
    return json.loads((Path(test_file).parent / "values.json").read_text())


def estimates(fit: CumulativeLinkFit) -> np.ndarray:
    """Cutpoints, coefficients and log sds, in the order of R's clmm with polish.R."""
    return np.array([*fit.cutpoints, *fit.coefficients, *(np.log(c.sd) for c in fit.components)])


def listed(values: dict[str, float]) -> np.ndarray:
    """Named numbers of R in their order."""
    return np.array(list(values.values()), dtype=float)
