"""Time to fit the pain model: a month and a year of a simulated client, in its parts.

OPENBLAS_NUM_THREADS=1 python tests/benchmarks/pain_model.py
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

from analysis.design import build_design
from analysis.models.draws import laplace_start
from analysis.models.pain_fit import PainOptions
from analysis.models.pain_layout import pain_layout
from analysis.models.pain_model import fit_pain_model
from analysis.observations import observations
from analysis.questions.review import line_rows
from analysis.simulate import simulate_client

WORLDS = {"month": ("W1", 5), "year": ("WY", 3)}
"""World and repetitions."""


def seconds(run: Callable[[], object], repetitions: int) -> float:
    """Median time of a call."""
    times = []
    for _ in range(repetitions):
        begun = time.perf_counter()
        run()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def main() -> None:
    """Print one line a part and length of log."""
    for name, (world, repetitions) in WORLDS.items():
        log = simulate_client(3, world).log
        client = str(log.sets["client"].iloc[0])
        observed = observations(log, client)
        design = build_design(observed, variants=log.variants, ranges=log.ranges)
        layout = pain_layout(design)
        fit = fit_pain_model(log, client=client)
        parts: dict[str, Callable[[], object]] = {
            "observations": lambda log=log, client=client: observations(log, client),
            "design": lambda o=observed, log=log: build_design(o, variants=log.variants, ranges=log.ranges),
            "Laplace, cold": lambda layout=layout: laplace_start(layout),
            "all, 600 draws": lambda log=log, client=client: fit_pain_model(
                log, client=client, options=PainOptions(n_draws=608)
            ),
            "all, 2,400 draws": lambda log=log, client=client: fit_pain_model(log, client=client),
            "every line": lambda fit=fit: line_rows(fit),
        }
        print(f"{name}: {len(observed)} answers, {layout.predictor.size} parameters")
        for part, run in parts.items():
            print(f"  {part:18s}{1000 * seconds(run, repetitions):8.0f} ms")
        checks = fit.convergence
        print(
            f"  {checks.n_draws} draws, R-hat {checks.max_r_hat:.3f}, effective {checks.min_effective_size:.0f}, "
            f"in the tails {checks.min_tail_effective_size:.0f}"
        )


if __name__ == "__main__":
    main()
