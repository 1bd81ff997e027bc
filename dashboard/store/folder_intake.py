"""What is asked when a client begins, and the log it becomes (layer: store)."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import pandas as pd

from analysis.errors import LogError
from analysis.log import log_from_frames
from analysis.training_log import TrainingLog

SEE_A_CLINICIAN = "see a clinician first"
"""Who set the limit that leaves every exercise out when a stop sign was told."""
CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,31}")
RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?|.*\.", re.IGNORECASE)
"""Names that some computers cannot give a folder."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteAnswer:
    """One painful place, as told."""

    site: str
    region: str | None
    side: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskAnswer:
    """One everyday task of the client's own and how hard it is, 0 to 10."""

    task: str
    difficulty: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Intake:
    """Everything that was answered; None and empty where nothing was.

    Attributes
    ----------
    client : str
    unit : str or None
    started : date or None
    bodyweight_kg : str
        As typed.
    sites : tuple of SiteAnswer
    main : int or None
        Which of the sites is the main one, from 0.
    since, onset, note : str
        Since when, how it came on, anything else: together they become the note.
    irritability : str or None
    pain_level, limit_during, limit_after, limit_next_morning : int or None
    goal : str
    tasks : tuple of TaskAnswer
    signs : mapping of str to bool or None
        Each stop sign that was asked about; None while it is not answered.
    consent : bool
    """

    client: str
    unit: str | None
    started: dt.date | None
    bodyweight_kg: str
    sites: tuple[SiteAnswer, ...]
    main: int | None
    since: str
    onset: str
    note: str
    irritability: str | None
    pain_level: int | None
    limit_during: int | None
    limit_after: int | None
    limit_next_morning: int | None
    goal: str
    tasks: tuple[TaskAnswer, ...]
    signs: Mapping[str, bool | None]
    consent: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldProblem:
    """What is wrong with one answer and how to mend it; `field` names the answer, such as ``site 0``."""

    field: str
    words: str


def intake_problems(intake: Intake, *, taken: Sequence[str]) -> tuple[FieldProblem, ...]:
    """Everything that keeps an intake from being written, in the order of the page.

    Parameters
    ----------
    intake : Intake
    taken : sequence of str
        Codes there are already; capitals do not tell two apart, because they do not for every computer's folders.

    Returns
    -------
    tuple of FieldProblem
        Empty when it can be written. The rules of the log's columns are those every file is held to.
    """
    found = [FieldProblem(field="client", words=words) for words in _code_problem(intake.client, taken)]
    found += _missing(intake)
    found += _twice("site", [one.site for one in intake.sites], "place")
    found += _twice("task", [one.task for one in intake.tasks], "task")
    known = {one.field for one in found}
    try:
        # code and day are judged above; stand-ins keep them from being told again for every file
        log_from_frames(**_frames(replace(intake, client="M", started=intake.started or dt.date(2026, 1, 1))))
    except LogError as error:
        for one in error.problems:
            field = _field_of(intake, one.file, one.row, one.column)
            if field not in known:
                found.append(FieldProblem(field=field, words=f"{one.what} {one.mend}"))
    return tuple(found)


def intake_log(intake: Intake) -> TrainingLog:
    """The log of a client who begins: no sets yet, and everything that was answered.

    Parameters
    ----------
    intake : Intake

    Returns
    -------
    TrainingLog
        With a limit that leaves every exercise out where a stop sign was told.

    Raises
    ------
    LogError
        If an answer breaks a rule of the log; see `intake_problems`.
    """
    return log_from_frames(**_frames(intake))


def told_signs(intake: Intake) -> tuple[str, ...]:
    """Stop signs that were answered with yes."""
    return tuple(sign for sign, told in intake.signs.items() if told)


def _code_problem(client: str, taken: Sequence[str]) -> list[str]:
    if not client:
        return ["A code is needed. Choose a short one that is no name, such as M-14."]
    if not CODE.fullmatch(client) or RESERVED.fullmatch(client):
        return [
            "A code has 1 to 32 letters of A to Z, digits, points, dashes or underscores and begins with a letter or"
            " digit. Choose one such as M-14."
        ]
    same = next((one for one in taken if one.casefold() == client.casefold()), None)
    return [] if same is None else [f"There is a client {same} already. Choose another code."]


def _missing(intake: Intake) -> list[FieldProblem]:
    """Answers that have to be there, which the columns of a log do not ask for."""
    found = []
    if intake.started is None:
        found.append(
            FieldProblem(field="started", words="The first day is needed. Write it, such as 2026-09-28.")
        )
    for number, one in enumerate(intake.sites):
        if not one.site.strip():
            words = "The place is needed. Write it in the client's words, such as front of knee."
            found.append(FieldProblem(field=f"site {number}", words=words))
        elif one.region is None or one.side is None:
            words = "Region and side are needed. Choose both."
            found.append(FieldProblem(field=f"site {number}", words=words))
    if intake.main is None:
        words = "One place is the main one. Choose the one that each set is asked about."
        found.append(FieldProblem(field="main", words=words))
    found += [
        FieldProblem(field=f"sign {number}", words="Not answered. Ask it, then choose no or yes.")
        for number, told in enumerate(intake.signs.values())
        if told is None
    ]
    for number, task in enumerate(intake.tasks):
        if bool(task.task.strip()) != (task.difficulty is not None):
            words = "A task needs its words and how hard it is now. Fill both or empty both."
            found.append(FieldProblem(field=f"task {number}", words=words))
    if not intake.consent:
        words = "Without the client's consent nothing is written. Ask for it, then tick this."
        found.append(FieldProblem(field="consent", words=words))
    return found


def _twice(field: str, texts: Sequence[str], what: str) -> list[FieldProblem]:
    """Names that were given before; blanks apart."""
    names = [text.strip().casefold() for text in texts]
    words = f"This {what} is there already. Name it otherwise or remove it."
    return [
        FieldProblem(field=f"{field} {number}", words=words)
        for number, name in enumerate(names)
        if name and name in names[:number]
    ]


def _frames(intake: Intake) -> dict[str, pd.DataFrame]:
    client = intake.client
    day = None if intake.started is None else intake.started.isoformat()
    rows: dict[str, list[dict[str, object]]] = {
        "clients": [
            {
                "client": client,
                "unit": intake.unit,
                "pain_level": intake.pain_level,
                "limit_during": intake.limit_during,
                "limit_after": intake.limit_after,
                "limit_next_morning": intake.limit_next_morning,
                "bodyweight_kg": intake.bodyweight_kg.strip(),
                "started": day,
                "goal": intake.goal.strip(),
                "irritability": intake.irritability,
                "consent": "yes" if intake.consent else None,
                "note": _note(intake),
            }
        ],
        "sites": [
            {
                "client": client,
                "site": one.site.strip(),
                "region": one.region,
                "side": one.side,
                "main": "yes" if number == intake.main else "no",
            }
            for number, one in enumerate(intake.sites)
        ],
        "tasks": [
            {"client": client, "date": day, "task": one.task.strip(), "difficulty": one.difficulty}
            for one in intake.tasks
            if one.task.strip()
        ],
    }
    if told_signs(intake):
        rows["limits"] = [{"client": client, "leave_out": "yes", "from": day, "by": SEE_A_CLINICIAN}]
    return {name: _frame(every) for name, every in rows.items() if every}


def _frame(rows: Sequence[Mapping[str, object]]) -> pd.DataFrame:
    """Cells as text, the way a file holds them."""
    cells = [{name: "" if value is None else str(value) for name, value in row.items()} for row in rows]
    return pd.DataFrame(cells, dtype="str")


def _note(intake: Intake) -> str:
    """Since when, how it came on, what else was said; that a sign was told, never which."""
    parts = [
        f"Since {intake.since.strip()}." if intake.since.strip() else "",
        f"Came on: {intake.onset.strip()}." if intake.onset.strip() else "",
        "A stop sign was told at the first talk." if told_signs(intake) else "",
        intake.note.strip(),
    ]
    return " ".join(part for part in parts if part)


def _field_of(intake: Intake, file: str, row: int | None, column: str | None) -> str:
    """The answer a problem of a file is about."""
    name = file.partition(".")[0]
    if name == "sites" and row is not None:
        return f"site {row - 2}"
    if name == "tasks" and row is not None:
        filled = [number for number, one in enumerate(intake.tasks) if one.task.strip()]
        return f"task {filled[row - 2]}"
    return column or name
