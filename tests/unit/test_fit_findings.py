"""What a fit says about itself: blanks, painkillers, censored sets, pain that never came."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import chance_draws
from tests.small_logs import small_log, squat

FEW = PainOptions(n_draws=640)


def fit_of(rows: list, **tables: object) -> PainFit:
    return fit_pain_model(small_log(rows, **tables), client="T-01", options=FEW)  # type: ignore[arg-type]


def codes(fit: PainFit) -> set[str]:
    return {finding.code for finding in fit.findings}


def weeks_of_sets(*, blank_quiet: bool = False) -> list:
    """Twelve sessions at 8, 10, 12 kg; 12 hurts, and after it comes an easy set; quiet answers may be left blank."""
    rows = []
    for session in range(12):
        for i, load in enumerate((8.0, 10.0, 12.0, 8.0)):
            pain: int | None = 3 if load == 12.0 and session % 2 else 0
            if blank_quiet and pain == 0 and (session + i) % 2:
                pain = None
            rows.append(squat(2 * session, i + 1, load, pain))
    return rows


def test_a_full_log_has_no_findings() -> None:
    assert codes(fit_of(weeks_of_sets())) == set()


def test_many_blanks_are_said_and_read_both_ways() -> None:
    rows = weeks_of_sets(blank_quiet=True)
    fit = fit_of(rows)
    assert "many_unasked" in codes(fit)
    assert fit.unasked_share == pytest.approx(sum(r["pain_left"] is None for r in rows) / len(rows))
    as_quiet = fit_pain_model(
        small_log(rows), client="T-01", options=PainOptions(n_draws=640, blanks="quiet")
    )
    # a blank read as quiet is still no answer: counts and lines are those of the answers
    assert (as_quiet.n_asked, as_quiet.tried) == (fit.n_asked, fit.tried)
    assert fit.design is not None
    assert as_quiet.design is not None
    assert as_quiet.design.low.size == len(rows) > fit.design.low.size
    key = next(iter(fit.tried))
    blank_loads = np.array([8.0, 10.0])
    asked_only = chance_draws(fit, fit.design, key, blank_loads, level=2).mean(0)
    read_quiet = chance_draws(as_quiet, as_quiet.design, key, blank_loads, level=2).mean(0)
    assert (read_quiet < asked_only).all()


def test_blanks_alone_make_no_line() -> None:
    rows = weeks_of_sets()
    rows += [squat(2 * s, 9, 20.0, None, exercise="bridge") for s in range(12)]
    options = PainOptions(n_draws=640, blanks="quiet")
    fit = fit_pain_model(small_log(rows), client="T-01", options=options)
    assert {key.exercise for key in fit.tried} == {"step-down"}
    assert fit.design is not None
    assert fit.design.exercises == ("step-down",)


def test_painkiller_days_are_left_out_unless_put_in() -> None:
    rows = weeks_of_sets()
    days = [{"client": "T-01", "date": rows[-1]["date"], "painkiller": True}]
    fit = fit_of(rows, days=days)
    assert "painkiller_days_left_out" in codes(fit)
    assert fit.n_asked == len(rows) - 4
    put_in = fit_pain_model(
        small_log(rows, days=days), client="T-01", options=PainOptions(n_draws=640, painkiller_days=True)
    )
    assert put_in.n_asked == len(rows)
    assert "painkiller_days_left_out" not in codes(put_in)


def test_a_set_stopped_for_pain_without_a_score_counts_as_pain() -> None:
    rows = weeks_of_sets()
    asked = fit_of(rows)
    for row in rows:
        if row["pain_left"] == 3:
            row["pain_left"], row["stopped_for"] = None, "pain"
    censored = fit_of(rows)
    key = next(iter(asked.tried))
    assert censored.tried[key].n_painful == asked.tried[key].n_painful == 6
    assert censored.n_asked == asked.n_asked


def test_never_painful_is_said() -> None:
    rows = weeks_of_sets()
    for row in rows:
        row["pain_left"] = 0
    assert codes(fit_of(rows)) == {"never_painful"}


def test_blanks_after_quiet_sets_are_noticed_below_a_fifth() -> None:
    """Every blank follows a quiet set, every answer a painful one, with few blanks over all."""
    rows = []
    for session in range(30):
        painful = session % 3 > 0
        for i in range(6):
            pain: int | None = 3 if painful else 0
            if not painful and i in (2, 4):
                pain = None
            rows.append(squat(2 * session, i + 1, 8.0 + 2 * (i % 2), pain))
    fit = fit_of(rows)
    assert fit.unasked_share < 0.2
    assert "blanks_follow_quiet" in codes(fit)
