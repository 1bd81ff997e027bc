"""One dated sentence for each client: what is new, or where the line that matters most stands (layer: wording)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from analysis.results import LineRow, Withheld
from analysis.results_first_look import (
    CareNews,
    FallenLineNews,
    FlareNews,
    LeftOut,
    MorningNews,
    News,
    NewsKind,
    RemarkNews,
    SilenceNews,
    TrialNews,
)
from dashboard.wording.care import care_words
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import counted, day_words, half_up, short_day
from dashboard.wording.pain_line import answer_words

SHOWN_CHANCE = 0.2
SHORT_WORDS: dict[NewsKind, str] = {
    "care": "entries that ask for care",
    "flare": "a flare",
    "mornings up": "a morning above usual",
    "line fallen": "a line that may have fallen",
    "remarks": "remarks on the log",
    "not logged": "nothing logged lately",
    "trial due": "a harder variant due for a trial",
}


def leading_line(rows: Sequence[LineRow]) -> LineRow | None:
    """The line a coach asks about first: most painful sets; then with an answer; then most asked."""
    shown = [row for row in rows if row.chance == SHOWN_CHANCE]
    if not shown:
        return None
    return max(
        shown, key=lambda row: (row.tried.n_painful, not isinstance(row.answer, Withheld), row.tried.n_asked)
    )


def clients_heading(n_clients: int, n_new: int, n_broken: int = 0) -> str:
    """``5 clients, 2 to look at first; 1 log cannot be read``."""
    broken = "" if n_broken == 0 else f"; {counted(n_broken, 'log')} cannot be read"
    if n_new == 0:
        return f"{counted(n_clients, 'client')}, nothing new{broken}"
    if n_clients == 1:
        return f"1 client, with news{broken}"
    return f"{counted(n_clients, 'client')}, {n_new:,} to look at first{broken}"


def client_sentence(as_of: dt.date, rows: Sequence[LineRow]) -> str:
    """``28 Sep 2026: step-down, left: 2 of 10 sets would hurt at about 14 kg in each hand (13 to 16)``."""
    row = leading_line(rows)
    if row is None:
        return f"{day_words(as_of)}: no set was asked about pain yet"
    text = f"{day_words(as_of)}: {_lower(line_name(row.key))}: {answer_words(row)[0]}"
    if isinstance(row.answer, Withheld):
        return f"{text}; {_lower(row.answer.remedy.strip().rstrip('.'))}"
    return text


def left_out_sentence(one: LeftOut) -> str:
    """``25 Nov 2026: every exercise is left out from this day on: see a clinician first``."""
    by = "" if one.by is None else f": {one.by}"
    if one.since is None:
        return f"Every exercise is left out{by}"
    return f"{day_words(one.since)}: every exercise is left out from this day on{by}"


def news_sentence(news: Sequence[News]) -> str:
    """The first news as a dated sentence, the others named after it."""
    first, *others = news
    text = f"{day_words(first.day)}: {_words(first)}"
    if not others:
        return text
    return f"{text}. Also {_listed([SHORT_WORDS[one.kind] for one in others])}"


def _words(one: News) -> str:
    match one:
        case CareNews():
            more = "" if len(one.entries) == 1 else f"; {len(one.entries) - 1} more in seven days: ask first"
            return f"{care_words(one.entries[0])}{more}"
        case FlareNews():
            return _flare_words(one)
        case MorningNews():
            often = "" if one.n_up == 1 else f"; {one.n_up} such mornings in seven days"
            return f"a morning above usual: pain {half_up(one.pain)}, usual {_score(one.usual)}{often}"
        case FallenLineNews():
            return (
                f"{_lower(line_name(one.key))}: the line may have fallen; chance that it rose since"
                f" {short_day(one.since)}: {_in_100(one.probability_up)}"
            )
        case RemarkNews():
            what = one.remarks[0].what.strip().rstrip(".")
            begin = "a remark" if len(one.remarks) == 1 else f"{len(one.remarks)} remarks"
            first = "" if len(one.remarks) == 1 else "the first "
            return f"{begin} on the log: {first}in {_place(one)}: {what}"
        case SilenceNews():
            if one.began:
                return f"began, and nothing is logged yet after {counted(one.n_days, 'day')}"
            return f"the last day with anything logged, {counted(one.n_days, 'day')} ago"
        case TrialNews():
            trial = "a second trial" if one.is_second else "a trial"
            more = "" if one.n_due == 1 else f"; {counted(one.n_due - 1, 'other')} too"
            return f"{one.exercise}, {one.works}: {one.next_variant} is due for {trial}{more}"


def _flare_words(one: FlareNews) -> str:
    if one.worst is None or one.usual is None:
        return "a flare was logged"
    over = "; no later morning is logged" if one.is_latest else ""
    return (
        f"a flare, {counted(one.n_mornings, 'morning')} running from {short_day(one.first_day)} well above usual:"
        f" worst {half_up(one.worst)}, usual {_score(one.usual)}{over}"
    )


def _place(one: RemarkNews) -> str:
    first = one.remarks[0]
    return first.file if first.row is None else f"{first.file}, row {first.row}"


def _score(value: float) -> str:
    return half_up(value, 0 if value == int(value) else 1)


def _in_100(probability: float) -> str:
    return "under 1 in 100" if probability < 0.01 else f"{half_up(probability * 100)} in 100"


def _listed(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def waiting_sentence(n_sets: int, last_date: dt.date | None) -> str:
    """What is known of a client before the lines are worked out."""
    if last_date is None:
        return "No set is logged yet"
    return f"{day_words(last_date)}: the last of {counted(n_sets, 'set')}; the line is not worked out yet"


def broken_sentence(n_problems: int) -> str:
    """What is said in place of an answer when a log cannot be read."""
    return f"Cannot be read: {counted(n_problems, 'problem')} to mend"


def today_note(today: dt.date, n_broken: int) -> str:
    """What "today" is on the invented samples."""
    faulty = f", {n_broken} of them faulty on purpose to show how that is told" if n_broken else ""
    return (
        f"Invented sample logs{faulty}. Here {day_words(today)}, their newest day, counts as today; open your own on"
        " the Log page."
    )


def how_far(n_shown: int, n_clients: int) -> str:
    """How many clients were looked at wholly, where it is not all."""
    return (
        f"Lines and trials are worked out for {n_shown:,} of {n_clients:,} clients; the others stand in the order of"
        " what needs no line: flares, mornings, days without anything logged."
    )
