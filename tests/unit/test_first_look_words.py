"""What the page of clients says of each kind of news."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.results_first_look import News
from dashboard.wording.clients import clients_heading, how_far, news_sentence, today_note
from tests.unit.test_first_look import FALLEN, FLARE, MORNING, REMARK, REMARKS, SILENCE, TRIAL, june


@pytest.mark.parametrize(
    ("news", "words"),
    [
        (
            FLARE,
            "5 Jun 2026: a flare, 2 mornings running from 4 Jun well above usual: worst 5, usual 1;"
            " no later morning is logged",
        ),
        (
            replace(FLARE, is_latest=False, usual=1.5),
            "5 Jun 2026: a flare, 2 mornings running from 4 Jun well above usual: worst 5, usual 1.5",
        ),
        (replace(FLARE, worst=None, usual=None, n_mornings=0), "5 Jun 2026: a flare was logged"),
        (MORNING, "19 Jun 2026: a morning above usual: pain 4, usual 1"),
        (
            replace(MORNING, n_up=3),
            "19 Jun 2026: a morning above usual: pain 4, usual 1; 3 such mornings in seven days",
        ),
        (
            FALLEN,
            "18 Jun 2026: step-down, left: the line may have fallen; chance that it rose since 1 Jun: 1 in 100",
        ),
        (
            replace(FALLEN, probability_up=0.004),
            "18 Jun 2026: step-down, left: the line may have fallen; chance that it rose since 1 Jun: under 1 in 100",
        ),
        (REMARKS, "17 Jun 2026: a remark on the log: in sets.csv, row 2: 60 is large"),
        (
            replace(REMARKS, remarks=(REMARK, REMARK)),
            "17 Jun 2026: 2 remarks on the log: the first in sets.csv, row 2: 60 is large",
        ),
        (
            replace(REMARKS, remarks=(replace(REMARK, row=None),)),
            "17 Jun 2026: a remark on the log: in sets.csv: 60 is large",
        ),
        (SILENCE, "1 Jun 2026: the last day with anything logged, 19 days ago"),
        (replace(SILENCE, began=True), "1 Jun 2026: began, and nothing is logged yet after 19 days"),
        (TRIAL, "19 Jun 2026: squat, left: box is due for a trial"),
        (
            replace(TRIAL, is_second=True, n_due=2),
            "19 Jun 2026: squat, left: box is due for a second trial; 1 other too",
        ),
        (replace(TRIAL, n_due=3), "19 Jun 2026: squat, left: box is due for a trial; 2 others too"),
    ],
)
def test_one_news(news: News, words: str) -> None:
    assert news_sentence([news]) == words


def test_the_others_are_named_after_the_first() -> None:
    assert news_sentence([SILENCE, TRIAL]) == (
        "1 Jun 2026: the last day with anything logged, 19 days ago. Also a harder variant due for a trial"
    )
    assert news_sentence([replace(FLARE, worst=None), MORNING, FALLEN, TRIAL]).endswith(
        ". Also a morning above usual, a line that may have fallen and a harder variant due for a trial"
    )


@pytest.mark.parametrize(
    ("n_clients", "n_new", "words"),
    [
        (1, 0, "1 client, nothing new"),
        (1, 1, "1 client, with news"),
        (5, 0, "5 clients, nothing new"),
        (1000, 40, "1,000 clients, 40 to look at first"),
    ],
)
def test_the_heading_counts_those_to_look_at(n_clients: int, n_new: int, words: str) -> None:
    assert clients_heading(n_clients, n_new) == words


def test_what_today_is_and_how_far_it_is() -> None:
    assert "2 of them faulty on purpose" in today_note(june(5), 2)
    assert today_note(june(5), 0).startswith(
        "Invented sample logs. Here 5 Jun 2026, their newest day, counts as"
    )
    assert how_far(25, 1000).startswith("Lines and trials are worked out for 25 of 1,000 clients;")
