"""Why a line says less than an interval: words for older loads, and for sets without a load."""

from __future__ import annotations

from analysis.models.pain_fit import PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.questions.line_reasons import asked_with_load, open_words
from analysis.questions.pain_line import pain_line
from analysis.results import PainLine
from tests.small_logs import small_log, squat

FEW = PainOptions(n_draws=128)
LINE = {"exercise": "step-down", "variant": "standard", "side": "left"}


def test_loads_older_than_12_weeks_are_not_said_to_be_recent() -> None:
    rows = [squat(day, i + 1, 8.0 + 2 * i, 0) for day in range(0, 12, 2) for i in range(3)]
    then = fit_pain_model(small_log(rows), client="T-01", options=FEW)
    later = squat(200, 1, 30.0, 0, exercise="bridge")
    now = fit_pain_model(small_log([*rows, later]), client="T-01", options=FEW)
    (key,) = then.tried
    assert then.tried[key].loads_are_recent
    assert not now.tried[key].loads_are_recent
    assert (now.tried[key].lightest_kg, now.tried[key].heaviest_kg) == (8.0, 12.0)
    for status in ("above_tried", "below_tried"):
        assert "in the last 12 weeks" in str(open_words(status, then.tried[key], 2).reason)
        assert "more than 12 weeks ago" in str(open_words(status, now.tried[key], 2).reason)


def test_sets_without_a_load_do_not_allow_an_upper_end() -> None:
    rows = [squat(2 * s, i + 1, None, 0) for s in range(10) for i in range(2)]
    rows += [squat(20, 1, 8.0, 0), squat(20, 2, 10.0, 3)]
    fit = fit_pain_model(small_log(rows), client="T-01", options=FEW)
    answer = pain_line(fit, **LINE)
    assert isinstance(answer, PainLine)
    assert (answer.tried.n_asked, asked_with_load(answer.tried)) == (22, 2)
    assert answer.status == "lower_only"
    assert answer.high_kg is None
    assert answer.reason == "Only 2 sets with a load and a pain answer so far."
    assert answer.remedy == "Ten more would allow an upper end."
