"""Who needs a look first: every kind of news by hand, their order, and ties."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from types import SimpleNamespace
from typing import cast

import pytest

from analysis.questions.first_look import first_look, marks, message_mark, order, remarks_of
from analysis.questions.first_look_lines import fallen_line, trial_due
from analysis.questions.review import Review
from analysis.results import LineKey, Remark, Withheld
from analysis.results_first_look import (
    CareNews,
    FallenLineNews,
    FirstLook,
    FlareNews,
    MorningNews,
    News,
    RemarkNews,
    SilenceNews,
    TrialNews,
)
from analysis.results_harder import Decision, HarderRow, HarderStep
from analysis.results_trend import ChangeRow, LineChange
from tests.small_logs import small_log, squat
from tests.unit.made_lines import STEP_DOWN, line

TODAY = dt.date(2026, 6, 20)
REMARK = Remark(
    code="load_jump", file="sets.csv", row=2, column="load", value="60", what="60 is large.", mend="See."
)
Rows = list[dict[str, object]]


def june(day: int) -> dt.date:
    return dt.date(2026, 6, day)


def logged_mornings(scores: dict[int, int], *, first: int = 1, last: int = 19, usual: int = 1) -> Rows:
    """Mornings of June at 1, but for the days given."""
    return [
        {"client": "T-01", "date": str(june(day)), "pain_morning": scores.get(day, usual)}
        for day in range(first, last + 1)
    ]


def news(days: Rows, *, today: dt.date = TODAY, **tables: Rows) -> tuple[News, ...]:
    return first_look(small_log([squat(0, 1, 10.0, 1)], days=days, **tables), "T-01", today=today).news


def test_two_mornings_running_are_a_flare_and_its_mornings_are_not_told_again() -> None:
    assert news(logged_mornings({14: 3, 15: 5, 16: 4})) == (
        FlareNews(day=june(16), first_day=june(14), worst=5.0, usual=1.0, n_mornings=3, is_latest=False),
    )


def test_one_morning_up_and_how_many_in_the_week_that_ends_with_it() -> None:
    assert news(logged_mornings({11: 4, 12: 1, 14: 3, 17: 4})) == (
        MorningNews(day=june(17), pain=4.0, usual=1.0, n_up=3),
    )
    assert news(logged_mornings({10: 4, 17: 4})) == (MorningNews(day=june(17), pain=4.0, usual=1.0, n_up=1),)


def test_a_flare_comes_before_a_later_single_morning() -> None:
    found = news(logged_mornings({14: 4, 15: 4, 18: 4}))
    assert [(one.kind, one.day) for one in found] == [("flare", june(15)), ("mornings up", june(18))]


@pytest.mark.parametrize(("today", "is_news"), [(22, True), (23, False)])
def test_a_flare_is_news_for_seven_days_once_later_mornings_are_known(today: int, is_news: bool) -> None:
    found = news(logged_mornings({14: 4, 15: 4}), today=june(today))
    assert bool(found) is is_news


def test_a_flare_stays_news_while_no_later_morning_is_known() -> None:
    (flare, silence) = news(logged_mornings({14: 4, 15: 4}, last=15), today=dt.date(2026, 8, 1))
    assert isinstance(flare, FlareNews)
    assert (flare.day, flare.is_latest) == (june(15), True)
    assert silence == SilenceNews(day=june(15), n_days=47, began=False)


def test_a_flare_that_was_logged_as_one_counts_without_any_morning() -> None:
    said = [{"client": "T-01", "date": "2026-06-16", "event": "flare"}]
    assert news([], events=said) == (
        FlareNews(day=june(16), first_day=june(16), worst=None, usual=None, n_mornings=0, is_latest=True),
    )
    mornings = logged_mornings({14: 4, 15: 4})
    found = news(mornings, events=[said[0] | {"date": "2026-06-15"}])
    assert [one.n_mornings for one in found if isinstance(one, FlareNews)] == [2]
    assert news(logged_mornings({}, last=30), events=said, today=june(24)) == ()


def test_what_asks_for_care_comes_first_stop_signs_before_high_scores() -> None:
    rows = [squat(18, 1, 10.0, 9), squat(16, 1, 10.0, 0, pain_feel="catching"), squat(11, 1, 10.0, 9)]
    log = small_log(rows, days=logged_mornings({14: 4, 15: 4}))
    care, flare = first_look(log, "T-01", today=TODAY).news
    assert isinstance(care, CareNews)
    assert [(one.kind, one.day) for one in care.entries] == [
        ("catching", june(17)),
        ("high in a set", june(19)),
    ]
    assert (care.day, flare.kind) == (june(17), "flare")


@pytest.mark.parametrize(("today", "n_days"), [(10, None), (11, 10), (30, 29)])
def test_nothing_logged_for_ten_days(today: int, n_days: int | None) -> None:
    found = news([], today=june(today))
    assert found == (() if n_days is None else (SilenceNews(day=june(1), n_days=n_days, began=False),))


@pytest.mark.parametrize("table", ["days", "sessions", "events"])
def test_anything_logged_ends_the_silence(table: str) -> None:
    more = {"days": {}, "sessions": {}, "events": {"event": "away"}}[table]
    rows = [{"client": "T-01", "date": "2026-06-12", **more}]
    log = small_log([squat(0, 1, 10.0, 1)], **{table: rows})
    assert first_look(log, "T-01", today=TODAY).news == ()
    other = small_log([squat(0, 1, 10.0, 1)], **{table: [rows[0] | {"client": "N-01"}]})
    assert first_look(other, "T-01", today=TODAY).news[0].kind == "not logged"


@pytest.mark.parametrize(("started", "n_days"), [("2026-06-11", None), ("2026-06-10", 10), (None, None)])
def test_a_client_without_any_set_is_waited_for_from_their_first_day(
    started: str | None, n_days: int | None
) -> None:
    row = {"client": "N-01"} | ({} if started is None else {"started": started})
    log = small_log([squat(0, 1, 10.0, 1)], clients=[{"client": "T-01"}, row])
    log = replace(log, clients=log.clients.assign(started=log.clients["started"].astype("datetime64[us]")))
    found = first_look(log, "N-01", today=TODAY).news
    assert found == (() if n_days is None else (SilenceNews(day=june(10), n_days=n_days, began=True),))


def change(probability_up: float, key: LineKey = STEP_DOWN) -> ChangeRow:
    moved = LineChange(
        key=key,
        start=june(1),
        end=june(29),
        log2_change=-0.3,
        low=-0.5,
        high=-0.1,
        confidence_level=0.8,
        low95=-0.6,
        high95=0.0,
        probability_up=probability_up,
        from_kg=None,
        to_kg=None,
        claim=None,
    )
    why = Withheld(reason="Too early.", remedy="Wait.")
    return ChangeRow(
        key=key,
        since_first=replace(moved, probability_up=0.0),
        since_28_days=moved if probability_up < 2 else why,
    )


RIGHT = replace(STEP_DOWN, side="right", works="right")


def test_a_line_has_fallen_when_it_most_surely_did_not_rise_in_28_days() -> None:
    assert fallen_line([change(0.051)], []) is None
    assert fallen_line([change(2)], []) is None
    assert fallen_line([change(0.05)], []) == FallenLineNews(
        day=june(29), key=STEP_DOWN, since=june(1), probability_up=0.05
    )
    surest = fallen_line([change(0.04), change(0.01, RIGHT)], [])
    assert surest is not None
    assert surest.key == RIGHT


def test_of_lines_that_fell_alike_the_one_that_hurt_more_is_named_then_the_first_by_name() -> None:
    both = [change(0.02, RIGHT), change(0.02)]
    by_name = fallen_line(both, [])
    hurt_more = replace(line(), key=RIGHT)
    by_pain = fallen_line(both, [hurt_more])
    assert by_name is not None
    assert by_pain is not None
    assert (by_name.key, by_pain.key) == (STEP_DOWN, RIGHT)


def step(decision: Decision, day: int, exercise: str = "step-down") -> HarderRow:
    answer = HarderStep(
        variant="standard",
        next_variant="heel on wedge",
        working_load_kg=12.0,
        load_basis="per hand",
        days=(june(day - 3), june(day)),
        criteria=(),
        decision=decision,
        first_reason=None,
        trial_load_kg=4.0,
        trials=(),
        next_last_day=None,
    )
    return HarderRow(exercise=exercise, works="left", now="standard", rungs=(), answer=answer)


def test_trials_that_are_due() -> None:
    assert trial_due([step("not yet", 9), step("trial not closed", 9), step("quiet trials done", 9)]) is None
    found = trial_due(
        [step("due for a trial", 9), step("due for a second trial", 12, "squat"), step("not yet", 20)]
    )
    assert found == TrialNews(
        day=june(12), exercise="squat", works="left", next_variant="heel on wedge", is_second=True, n_due=2
    )
    same_day = trial_due([step("due for a trial", 9, "b"), step("due for a trial", 9, "a")])
    assert same_day is not None
    assert same_day.exercise == "b"


def test_lines_and_trials_are_looked_at_once_there_is_a_review() -> None:
    found = SimpleNamespace(
        trend=SimpleNamespace(changes=(change(0.01),)), lines=(line(),), harder=(step("due for a trial", 9),)
    )
    log = small_log([squat(0, 1, 10.0, 1)], days=logged_mornings({17: 4}))
    looked = first_look(log, "T-01", today=TODAY, found=cast(Review, found), remarks=[REMARK])
    assert [one.kind for one in looked.news] == ["mornings up", "line fallen", "remarks", "trial due"]
    assert [one.kind for one in first_look(log, "T-01", today=TODAY).news] == ["mornings up"]


def test_remarks_are_the_clients_by_row_by_code_or_because_they_are_alone() -> None:
    log = small_log([squat(0, 1, 10.0, 1), squat(0, 1, 10.0, 1, client="N-01")])
    log = replace(log, sets=log.sets.assign(source_file="sets.csv"))
    second, unlisted = replace(REMARK, row=3), replace(REMARK, row=None, value="N-01")
    elsewhere, none_yet = replace(REMARK, file="days.csv"), replace(REMARK, code="no_sets")
    every = [REMARK, second, unlisted, elsewhere, none_yet]
    assert remarks_of(log, "T-01", every) == (REMARK,)
    assert remarks_of(log, "N-01", every) == (second, unlisted)
    alone = small_log([squat(0, 1, 10.0, 1)])
    assert remarks_of(alone, "T-01", every) == tuple(every[:4])
    found = first_look(alone, "T-01", today=june(2), remarks=[REMARK]).news
    assert found == (RemarkNews(day=june(1), remarks=(REMARK,)),)


FLARE = FlareNews(day=june(5), first_day=june(4), worst=5.0, usual=1.0, n_mornings=2, is_latest=True)
MORNING = MorningNews(day=june(19), pain=4.0, usual=1.0, n_up=1)
FALLEN = FallenLineNews(day=june(18), key=STEP_DOWN, since=june(1), probability_up=0.01)
REMARKS = RemarkNews(day=june(17), remarks=(REMARK,))
SILENCE = SilenceNews(day=june(1), n_days=19, began=False)
TRIAL = TrialNews(day=june(19), exercise="squat", works="left", next_variant="box", is_second=False, n_due=1)


def look(client: str, *its_news: News) -> FirstLook:
    return FirstLook(client=client, news=its_news)


def test_the_kind_comes_first_then_the_newest_day_then_the_code() -> None:
    every = [
        look("A", TRIAL),
        look("B", SILENCE),
        look("C"),
        look("D", REMARKS),
        look("E", FALLEN, SILENCE),
        look("F", MORNING, TRIAL),
        look("G", FLARE),
        look("H", replace(FLARE, day=june(6))),
        look("I", replace(MORNING, day=june(18))),
        look("0"),
        look("5", FLARE),
    ]
    assert [one.client for one in order(every)] == ["H", "5", "G", "F", "I", "E", "D", "B", "A", "0", "C"]
    assert order(reversed(every)) == order(every)


def test_a_mark_changes_with_the_kind_the_day_and_what_a_remark_says_but_not_with_its_row() -> None:
    assert marks(look("A", FLARE, TRIAL)) == ("flare 2026-06-05", "trial due 2026-06-19")
    assert marks(look("A")) == ()
    moved, other = replace(REMARK, row=9), replace(REMARK, value="61")
    assert message_mark([REMARK]) == message_mark([moved])
    assert len({message_mark(one) for one in ([REMARK], [other], [REMARK, REMARK])}) == 3
    assert message_mark([REMARK, other]) == message_mark([other, REMARK])
    later = look("A", replace(REMARKS, day=june(20)))
    assert marks(later) == marks(look("A", REMARKS))
