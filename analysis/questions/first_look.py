"""Who needs a look first: what is new about each client, and in which order (layer: questions)."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable, Sequence

import pandas as pd

from analysis.questions.care import STOP_KINDS, care_entries
from analysis.questions.first_look_lines import fallen_line, trial_due
from analysis.questions.first_look_mornings import morning_news
from analysis.questions.mornings import mornings
from analysis.questions.proposal_limits import limits_on
from analysis.questions.review import Review
from analysis.results import PlacedMessage, Remark
from analysis.results_first_look import KINDS, CareNews, FirstLook, LeftOut, News, RemarkNews, SilenceNews
from analysis.training_log import TrainingLog

CARE_DAYS = 7
"""What asks for care is news for so many days (common practice)."""
SILENT_DAYS = 10
"""So many days without anything logged are worth a look (common practice)."""


def first_look(
    log: TrainingLog,
    client: str,
    *,
    today: dt.date,
    found: Review | None = None,
    remarks: Sequence[Remark] = (),
) -> FirstLook:
    """What is new about one client.

    Parameters
    ----------
    log : TrainingLog
    client : str
    today : date
        Day that "lately" is counted from.
    found : Review, optional
        Every answer about the client; without it lines and trials are not looked at.
    remarks : sequence of Remark
        Doubtful values of this client's rows.

    Returns
    -------
    FirstLook
    """
    logged = log.events[(log.events["client"] == client) & (log.events["event"] == "flare")]
    flares = [day.date() for day in logged["date"]]
    last = last_entry(log, client)
    news: list[News | None] = [
        _care(log, client, today),
        *morning_news(mornings(log, client), flares, today=today),
        _silence(log, client, last, today),
    ]
    if found is not None:
        news += [fallen_line(found.trend.changes, found.lines), trial_due(found.harder)]
    if remarks:
        news.append(RemarkNews(day=last or today, remarks=tuple(remarks)))
    there = [one for one in news if one is not None]
    return FirstLook(
        client=client,
        news=tuple(sorted(there, key=lambda one: KINDS.index(one.kind))),
        left_out=left_out(log, client, day=today),
    )


def _care(log: TrainingLog, client: str, today: dt.date) -> CareNews | None:
    """Entries of seven days that ask for care, those that are stop signs themselves before high scores."""
    since = today - dt.timedelta(days=CARE_DAYS - 1)
    lately = [one for one in care_entries(log, client, as_of=today) if one.day >= since]
    if not lately:
        return None
    gravest = tuple(sorted(lately, key=lambda one: (one.kind not in STOP_KINDS, -one.day.toordinal())))
    return CareNews(day=gravest[0].day, entries=gravest)


def left_out(log: TrainingLog, client: str, *, day: dt.date) -> LeftOut | None:
    """The limit that leaves every exercise of a client out on a day, the one that began first; None without one.

    Parameters
    ----------
    log : TrainingLog
    client : str
    day : date

    Returns
    -------
    LeftOut or None
    """
    rows = limits_on(log, client, day=day)
    rows = rows[rows["exercise"].isna() & rows["leave_out"].fillna(False).astype(bool)]
    if rows.empty:
        return None
    first = rows.sort_values("from", na_position="first").iloc[0]
    return LeftOut(
        since=None if pd.isna(first["from"]) else first["from"].date(),
        by=None if pd.isna(first["by"]) else str(first["by"]),
    )


def last_entry(log: TrainingLog, client: str) -> dt.date | None:
    """Last day of a client with anything logged: a set, a session, a day, an event; None where nothing is."""
    frames = (log.sets, log.sessions, log.days, log.events)
    days = [frame.loc[frame["client"] == client, "date"].max() for frame in frames]
    known = [day.date() for day in days if not pd.isna(day)]
    return max(known) if known else None


def remarks_of(log: TrainingLog, client: str, remarks: Sequence[Remark]) -> tuple[Remark, ...]:
    """Remarks that are about one client: on a set of theirs, with their code, or all where they are alone in the log.

    Parameters
    ----------
    log : TrainingLog
    client : str
    remarks : sequence of Remark
        Of that log.

    Returns
    -------
    tuple of Remark
        That there are no sets yet is left out: the silence tells it.
    """
    told = [one for one in remarks if one.code != "no_sets"]
    others = {*log.sets["client"].dropna(), *log.clients["client"].dropna()} - {client}
    if not others:
        return tuple(told)
    mine = log.sets[log.sets["client"] == client]
    places = set(zip(mine["source_file"], mine["source_row"], strict=True))
    return tuple(one for one in told if one.value == client or _is_at(one, places))


def _is_at(one: Remark, places: set[tuple[str, int]]) -> bool:
    """Whether a remark stands at one of these rows; a log among others has its name before the file."""
    return one.row is not None and (one.file.rpartition("/")[2], one.row) in places


def order(looks: Iterable[FirstLook]) -> tuple[FirstLook, ...]:
    """Looks in the order of need: the kind of the first news, the newest day first, then by code.

    Parameters
    ----------
    looks : iterable of FirstLook

    Returns
    -------
    tuple of FirstLook
        Those without news last, by code.
    """
    return tuple(sorted(looks, key=need))


def need(look: FirstLook) -> tuple[int, int, str]:
    """What looks are sorted by."""
    if not look.news:
        return len(KINDS), 0, look.client
    first = look.news[0]
    return KINDS.index(first.kind), -first.day.toordinal(), look.client


def marks(look: FirstLook) -> tuple[str, ...]:
    """What tells the news of a client apart from later ones: a kind and its day; remarks by what they say."""
    return tuple(_mark(one) for one in look.news)


def message_mark(messages: Sequence[PlacedMessage]) -> str:
    """Short mark of some remarks or problems, the same wherever their rows move to."""
    said = sorted("\x1f".join((one.code, one.file, one.column or "", one.value or "")) for one in messages)
    return f"{len(said)} {hashlib.sha256(chr(30).join(said).encode()).hexdigest()[:12]}"


def _mark(one: News) -> str:
    if isinstance(one, RemarkNews):
        return f"{one.kind} {message_mark(one.remarks)}"
    return f"{one.kind} {one.day.isoformat()}"


def _silence(log: TrainingLog, client: str, last: dt.date | None, today: dt.date) -> SilenceNews | None:
    """Nothing logged for `SILENT_DAYS` days, counted from the first day here where nothing ever was."""
    since = last
    if since is None:
        started = log.clients.loc[log.clients["client"] == client, "started"].dropna()
        if started.empty:
            return None
        since = started.iloc[0].date()
    n_days = (today - since).days
    if n_days < SILENT_DAYS:
        return None
    return SilenceNews(day=since, n_days=n_days, began=last is None)
