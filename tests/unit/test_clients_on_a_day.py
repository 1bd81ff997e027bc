"""What is known of a client on a day: settings alone, the unit of the sets up to then."""

from __future__ import annotations

import datetime as dt

import pytest

from analysis.client_settings import client_settings
from analysis.derive import derive_sets, last_logged_day
from analysis.errors import OptionError
from analysis.observations import observations
from analysis.questions.month import month_summary
from analysis.questions.review import review
from analysis.tables import review_json
from tests.small_logs import small_log, squat

ON_FILE = [{"client": "N-01", "pain_level": 3}, {"client": "T-01"}]


def test_a_client_of_whom_only_settings_are_on_file_has_no_sets_and_the_last_day_of_the_log() -> None:
    log = small_log([squat(0, 1, 20.0, 1), squat(4, 1, 20.0, 1)], clients=ON_FILE)
    assert last_logged_day(log, "N-01") == dt.date(2026, 6, 5)
    assert len(derive_sets(log, "N-01")) == len(observations(log, "N-01")) == 0


@pytest.mark.parametrize("as_of", [None, dt.date(2026, 6, 3)])
def test_their_review_is_empty(as_of: dt.date | None) -> None:
    log = small_log([squat(0, 1, 20.0, 1), squat(4, 1, 20.0, 1)], clients=ON_FILE)
    told = review_json(review(log, client="N-01", as_of=as_of))
    assert told["as_of"] == (as_of or dt.date(2026, 6, 5)).isoformat()
    assert (told["n_sets"], told["pain_level"], told["pain_line"]) == (0, 3, [])


def test_their_review_is_of_today_where_nobody_has_a_set() -> None:
    log = small_log([squat(0, 1, 20.0, 1)], clients=ON_FILE)
    log = small_log(log.sets[:0].to_dict("records"), clients=ON_FILE)
    assert month_summary(log, "N-01").n_sets == 0
    assert review(log, client="N-01").as_of == last_logged_day(log, "N-01") == dt.date.today()


def test_a_client_without_records_is_an_error_that_lists_everybody_on_file() -> None:
    log = small_log([squat(0, 1, 20.0, 1)], clients=ON_FILE)
    with pytest.raises(OptionError, match="'K-99'; this log has: N-01, T-01"):
        last_logged_day(log, "K-99")


@pytest.mark.parametrize("as_of", [dt.date(1979, 12, 31), dt.date(2100, 1, 1), dt.date(5, 1, 1)])
def test_a_day_no_log_can_have_is_refused_by_its_name(as_of: dt.date) -> None:
    log = small_log([squat(0, 1, 20.0, None)])
    with pytest.raises(OptionError, match=f"as_of is {as_of}; choose a day from 1980 to 2099"):
        review(log, client="T-01", as_of=as_of)


def test_the_unit_on_a_day_is_that_of_most_sets_up_to_it() -> None:
    pounds = [squat(7, i + 1, 44.0, 1, unit="lb") for i in range(3)]
    log = small_log([squat(0, 1, 20.0, 1), squat(0, 2, 20.0, 1, unit=None), *pounds])
    early = dt.date(2026, 6, 1)
    assert client_settings(log, "T-01").unit == "lb"
    assert client_settings(log, "T-01", as_of=early).unit == "kg"
    assert derive_sets(log, "T-01", as_of=early)["load_kg"].tolist() == [20.0, 20.0]
    assert month_summary(log, "T-01", as_of=early).unit == "kg"
