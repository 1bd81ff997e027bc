"""Newton's method towards a maximum where some parameters are logs of scales that may end at zero (layer: numerics).

Near a scale s of zero a criterion is flat in log s and even in s, and Newton's method in log s creeps. Its step is
therefore taken in s: with y the parameters in which x = log s, ds / s = -(f_xx - f_x)^-1 f_x. A scale that still falls
at its floor is held there, and the caller decides whether it is zero.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from analysis.numerics.cumulative_link import Floats
from analysis.numerics.maximise import LONGEST_STEP, Criterion, RoughMaximum, newton_step, uphill

MAX_STEPS = 60
MOST_SHRINKING = 0.8
"""Of a scale in one step."""


def ascend(
    criterion: Criterion,
    start: Floats,
    hessian_of: Callable[[Floats], Floats],
    *,
    is_log_scale: NDArray[np.bool_],
    floor: Floats,
    tolerance: float,
) -> RoughMaximum:
    """Neighbourhood of a maximum.

    Parameters
    ----------
    criterion : callable
        Value and gradient at x.
    start : ndarray, shape (n,)
    hessian_of : callable
        Exact Hessian of minus the criterion.
    is_log_scale : ndarray of bool, shape (n,)
        Parameters whose steps are taken on the scale itself.
    floor : ndarray, shape (n,)
        Least value of each parameter, minus infinity for none.
    tolerance : float
        Largest component of the gradient, of those not held at the floor, at which the search ends.

    Returns
    -------
    RoughMaximum

    Raises
    ------
    FitError
        If the criterion cannot be computed at the start.
    """
    x = np.maximum(start, floor)
    value, gradient = criterion(x)
    count = 1
    for _ in range(MAX_STEPS):
        free = (x > floor) | (gradient > 0.0)
        if not np.abs(gradient[free]).max(initial=0.0) > tolerance:
            break
        bent = hessian_of(x) + np.diag(np.where(is_log_scale, gradient, 0.0))
        step = np.zeros(x.size)
        step[free] = newton_step(bent[np.ix_(free, free)], gradient[free])
        length = float((np.abs(step) / (1.0 + np.abs(x))).max())
        if not np.isfinite(length):
            break

        def at(size: float, x: Floats = x, step: Floats = step) -> Floats:
            moved = size * step
            moved[is_log_scale] = np.log1p(np.maximum(moved[is_log_scale], -MOST_SHRINKING))
            return np.maximum(x + moved, floor)

        higher = uphill(criterion, at, min(1.0, LONGEST_STEP / length), value, gradient)
        count += 1
        if higher is None:
            break
        x, value, gradient = higher
    return RoughMaximum(x, value, count)
