"""Time to fit the pain model to a simulated month and year, in its parts, beside the bars.

OPENBLAS_NUM_THREADS=1 python tests/benchmarks/pain_model.py
"""

from __future__ import annotations

from measure import heading, measure, row
from simulated import CLIENT, log_of, read_rows

from analysis.design import Design, build_design
from analysis.models.draws import LAPLACE_TOLERANCE, draw_posterior, laplace_start
from analysis.models.pain_fit import PainOptions
from analysis.models.pain_layout import pain_layout
from analysis.models.pain_model import fit_pain_model
from analysis.numerics.optimise import LaplaceFit, refit_laplace
from analysis.observations import observations
from analysis.questions.review import line_rows
from analysis.training_log import TrainingLog

REPETITIONS = {"month": 7, "year": 3}
BARS = {
    "month": {"cold": "bar 20 ms", "warm": "bar 5 ms", 608: "bar 150 ms", 2400: "bar 500 ms"},
    "year": {"cold": "bar 250 ms", "warm": "no bar", 608: "bar 1 s", 2400: "bar 3 s"},
}
"""On a machine with two cores, one of them used."""


def designed(log: TrainingLog) -> Design:
    """Log to design."""
    return build_design(observations(log, CLIENT), variants=log.variants, ranges=log.ranges)


def warm_refit(design: Design, before: LaplaceFit) -> LaplaceFit:
    """Laplace fit that starts at the mode of the fit without the last set."""
    layout = pain_layout(design)
    return refit_laplace(layout.predictor, layout.prior, before, tolerance=LAPLACE_TOLERANCE)


def main() -> None:
    """Print one table a length of log."""
    print(heading())
    for name, repetitions in REPETITIONS.items():
        rows, bars = read_rows(name), BARS[name]
        log = log_of(rows)
        design = designed(log)
        layout = pain_layout(design)
        before = laplace_start(pain_layout(designed(log_of(rows.iloc[:-1]))))
        fit = fit_pain_model(log, client=CLIENT)
        lines = [key for key, tried in fit.tried.items() if tried.heaviest_kg is not None]
        print(f"\n{name}: {len(rows)} sets, {layout.predictor.size} parameters, {len(lines)} lines")
        print(f"  {'':42s}{'processor':>10s}{'clock':>10s}")
        print(row("log to design", measure(lambda log=log: designed(log), repetitions)))
        cold = measure(lambda layout=layout: laplace_start(layout), repetitions)
        print(row("Laplace, cold", cold, bars["cold"]))
        warm = warm_refit(design, before)
        seconds = measure(lambda d=design, b=before: warm_refit(d, b), repetitions)
        print(
            row(
                "Laplace, from the fit without the last set",
                seconds,
                f"{bars['warm']}; {warm.n_evaluations} evaluations, gradient {warm.max_gradient:.0e}",
            )
        )
        for n_draws in (608, 2400):
            options = PainOptions(n_draws=n_draws)

            def drawn(options: PainOptions = options) -> object:
                return draw_posterior(layout, design, lines, 2, options)  # noqa: B023 (called in this round)

            posterior = draw_posterior(layout, design, lines, 2, options)
            seconds = measure(drawn, repetitions)
            worth = posterior.min_effective_size / seconds.cpu
            print(
                row(
                    f"Laplace and {n_draws} or more draws, checked",
                    seconds,
                    f"{bars[n_draws]}; {posterior.n_draws} draws, R-hat {posterior.max_r_hat:.3f}, effective "
                    f"{posterior.min_effective_size:.0f}, in the tails {posterior.min_tail_effective_size:.0f}; "
                    f"{worth:.0f} effective draws a second of processor",
                )
            )
        whole = measure(lambda log=log: fit_pain_model(log, client=CLIENT), repetitions)
        print(row("all of fit_pain_model", whole))
        print(row("every line of the table", measure(lambda fit=fit: line_rows(fit), repetitions)))


if __name__ == "__main__":
    main()
