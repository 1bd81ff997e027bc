"""The project's engines beside statsmodels and R on the same rows, in one run.

    OPENBLAS_NUM_THREADS=1 python tests/benchmarks/peers.py

Three intercepts (session, exercise, exercise and side) and five covariates, on the 0-10 score or on "2 or more".
R runs once a model, if Rscript is there with lme4 and ordinal; the whole takes about two minutes on a free core.
"""

from __future__ import annotations

import argparse
import json
import shutil
import subprocess
import warnings
from collections.abc import Callable
from pathlib import Path

import pandas as pd
import statsmodels.formula.api as smf
from measure import Seconds, heading, measure, row
from simulated import DATA, FACTORS, fixed_names, read_rows
from statsmodels.genmod.bayes_mixed_glm import BinomialBayesMixedGLM

from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from analysis.models.cumulative_link_result import CumulativeLinkFit

TIMES_FASTER = 200
"""Than R's clmm, at the same log-likelihood: the bar."""
SAME_LOG_LIKELIHOOD = 1e-3
"""R's search stops about 1e-5 short; more apart than this is another answer."""
VARIANCES = {name: f"0 + C({name})" for name in FACTORS}
R_SECONDS = 900.0
R_MODELS = ("lmer", "glmer", "clmm")


def ours(rows: pd.DataFrame) -> CumulativeLinkFit:
    """Ordinal mixed model, Laplace, flat priors."""
    groups = {name: rows[name].to_numpy() for name in FACTORS}
    return fit_cumulative_link_mixed(rows["pain"].to_numpy(), rows[fixed_names()], groups)


def linear(rows: pd.DataFrame) -> object:
    """MixedLM with crossed components; its default optimiser stops at a wrong place here, Powell's does not."""
    model = smf.mixedlm(
        f"pain ~ {' + '.join(fixed_names())}",
        rows.assign(one=1),
        groups="one",
        vc_formula=VARIANCES,
        re_formula="0",
    )
    return model.fit(reml=True, method="powell")


def binomial(rows: pd.DataFrame) -> object:
    """BinomialBayesMixedGLM by variational Bayes: its standard errors are known to be too small."""
    hurt = rows.assign(hurt=(rows["pain"] >= 2).astype(int))
    model = BinomialBayesMixedGLM.from_formula(f"hurt ~ {' + '.join(fixed_names())}", VARIANCES, hurt)
    return model.fit_vb()


def r_fit(name: str, model: str) -> dict[str, float | str] | str:
    """What `peers.R` says of one model, or why it says nothing."""
    if shutil.which("Rscript") is None:
        return "Rscript is not installed"
    command = ["Rscript", str(Path(__file__).with_name("peers.R")), str(DATA / f"{name}.csv"), model]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=R_SECONDS, check=False)
    except subprocess.TimeoutExpired:
        return f"stopped after {R_SECONDS:.0f} s"
    if done.returncode:
        missing = "there is no package" in done.stderr
        return "lme4 or ordinal is not installed" if missing else done.stderr.strip().splitlines()[-1]
    answer: dict[str, float | str] = json.loads(done.stdout)
    return answer


def quiet(run: Callable[[], object]) -> Callable[[], object]:
    """The same call with its warnings, which are known, left out."""

    def without_warnings() -> object:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return run()

    return without_warnings


def compare(name: str, *, repetitions: int, slow: bool) -> None:
    """Print the table of one data set."""
    rows = read_rows(name)
    print(f"\n{name}: {len(rows)} rows, {(rows['pain'] == 0).mean():.0%} zeros, three intercepts")
    print(f"  {'':42s}{'processor':>10s}{'clock':>10s}")
    fit = ours(rows)
    own = measure(lambda: ours(rows), repetitions)
    print(row("ordinal, Laplace: fit_cumulative_link_mixed", own, f"log-likelihood {fit.log_likelihood:.5f}"))
    if slow:
        once = 3 if name == "month" else 1
        print(row("linear: statsmodels MixedLM, Powell", measure(quiet(lambda: linear(rows)), once)))
        remark = "binary, variational"
        print(row("binary: BinomialBayesMixedGLM", measure(quiet(lambda: binomial(rows)), once), remark))
    for model in R_MODELS if slow else ("clmm",):
        answer = r_fit(name, model)
        if isinstance(answer, str):
            print(f"  R's {model}: {answer}")
            continue
        seconds = Seconds(float(answer["wall"]), float(answer["cpu"]))
        log_likelihood = float(answer["log_likelihood"])
        print(row(f"R's {model}", seconds, f"log-likelihood {log_likelihood:.5f}, {answer['version']}"))
        if model == "clmm":
            print(f"  against clmm: {verdict(fit.log_likelihood - log_likelihood, seconds.cpu / own.cpu)}")


def verdict(apart: float, times: float) -> str:
    """Whether the log-likelihood is the same and the bar is met."""
    same = "the same" if abs(apart) < SAME_LOG_LIKELIHOOD else "NOT the same"
    met = "met" if times >= TIMES_FASTER else "MISSED"
    return f"log-likelihood {same} ({apart:+.1e}), {times:.0f} times as fast (bar {TIMES_FASTER}: {met})"


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", choices=("month", "year"), help="one of the data sets")
    parser.add_argument("--clmm-only", action="store_true", help="leave statsmodels, lmer and glmer out")
    chosen = parser.parse_args()
    print(heading())
    for name, repetitions in (("month", 7), ("year", 3)):
        if chosen.only in (None, name):
            compare(name, repetitions=repetitions, slow=not chosen.clmm_only)


if __name__ == "__main__":
    main()
