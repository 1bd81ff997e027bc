"""Whether a harder variant is due for a trial, in words: heading, lists, criteria and trials (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.questions.harder_settings import HarderSettings
from analysis.results import Withheld
from analysis.results_harder import (
    Criterion,
    CriterionName,
    HarderRow,
    HarderStep,
    Rung,
    Trial,
    TrialOutcome,
)
from dashboard.wording.numbers import counted, day_words, half_up, load_words, of_ten, short_day

CRITERION_WORDS: dict[CriterionName, str] = {
    "limits": "allowed",
    "reps": "target reps",
    "reserve": "in reserve",
    "pain during": "pain during",
    "next morning": "next morning",
    "compensation": "compensation",
    "pain line": "pain line",
    "last trial": "enough since a failed trial",
}
OUTCOME_WORDS: dict[TrialOutcome, str] = {
    "quiet": "quiet, usual morning",
    "hurt": "hurt",
    "morning up": "morning up",
    "morning not logged": "next morning not known",
    "not asked": "not asked about pain",
}
HOW_A_TRIAL_IS_DONE = (
    "A trial is one set at the lightest step, early, in an otherwise usual session. A second one follows after a usual"
    " morning. Mark it with yes in the column trial."
)


def row_name(row: HarderRow) -> str:
    """``Step-down, left``, ``Box squat, both``."""
    name = f"{row.exercise}, {row.works}"
    return name[:1].upper() + name[1:]


def harder_heading(rows: Sequence[HarderRow]) -> str:
    """How many harder variants are due for a trial, at most 60 characters."""
    n_due = sum(_is_due(row) for row in rows)
    if n_due == 0:
        return "No harder variant is due for a trial yet"
    return f"{counted(n_due, 'harder variant')} {'is' if n_due == 1 else 'are'} due for a trial"


def harder_evidence(
    settings: HarderSettings, limit_during: int | None, limit_next_morning: int | None
) -> str:
    """What has to be so, with the settings used."""
    during = settings.pain_during if limit_during is None else limit_during
    morning = "" if limit_next_morning is None else f" and at most {limit_next_morning}"
    return (
        f"Due means: target reps at the working load in {settings.sessions_running} sessions running with"
        f" {half_up(settings.reserve_reps)} or more in reserve, pain during at most {during}, next mornings"
        f" usual{morning}, no clear compensation, the pain line above the working load. Common practice, each a"
        " setting; it says nothing about what the trial will bring."
    )


def due_sentences(rows: Sequence[HarderRow], unit: str) -> tuple[str, ...]:
    """What each due trial is, and those that wait for their morning or have been quiet often enough."""
    return tuple(
        _due_sentence(row, row.answer, unit)
        for row in rows
        if isinstance(row.answer, HarderStep) and row.answer.decision != "not yet"
    )


def not_yet_sentences(rows: Sequence[HarderRow], unit: str) -> tuple[str, ...]:
    """The others, each with its first reason."""
    return tuple(
        f"{row_name(row)}: {row.answer.next_variant} not yet: {reason_words(row.answer.first_reason, unit)}"
        f"{_last_worked(row.answer)}."
        for row in rows
        if isinstance(row.answer, HarderStep)
        and row.answer.decision == "not yet"
        and row.answer.first_reason is not None
    )


def _last_worked(step: HarderStep) -> str:
    day = step.next_last_day
    return "" if day is None else f"; it was last worked with on {short_day(day)}"


def withheld_sentences(rows: Sequence[HarderRow]) -> tuple[str, ...]:
    """Exercises without a next variant, one sentence for each reason and remedy."""
    names: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        if isinstance(row.answer, Withheld):
            mine = names.setdefault((row.answer.reason, row.answer.remedy), [])
            if row.exercise not in mine:
                mine.append(row.exercise)
    return tuple(
        f"{_capital('; '.join(exercises))}: {reason} {remedy}"
        for (reason, remedy), exercises in names.items()
    )


def reason_words(one: Criterion, unit: str) -> str:
    """Why a criterion is not met, or that it is not logged: ``1 in reserve on 26 Sep, 2 are needed``."""
    if one.state == "not logged":
        return _not_logged(one)
    on = "" if one.day is None else f" on {short_day(one.day)}"
    value = "" if one.value is None else half_up(one.value)
    bound = "" if one.bound is None else half_up(one.bound)
    match one.name:
        case "limits":
            return "the exercise is to be left out (limits.csv)"
        case "reps":
            return f"target reps at the working load in {value} of {bound} sessions running"
        case "reserve":
            return f"{value} in reserve{on}, {bound} are needed"
        case "pain during":
            return f"{one.detail}{on}" if one.detail else f"pain {value}{on}, {bound} is the limit"
        case "next morning":
            return f"morning pain {value}{on}, {bound} is {'usual' if one.detail == 'usual' else 'the limit'}"
        case "compensation":
            return f"clear compensation{on}"
        case "pain line":
            return _line_reason(one, unit)
        case "last trial":
            return f"the last trial {'hurt' if one.detail == 'hurt' else 'left the next morning up'}{on}"


def _not_logged(one: Criterion) -> str:
    on = "" if one.day is None else f" for {short_day(one.day)}"
    match one.name:
        case "reps":
            return f"whether the target was reached is not logged{on}"
        case "reserve":
            return f"reps in reserve not logged{on}"
        case "pain during":
            return f"pain not asked, or a painkiller taken,{on.replace('for', 'on')}".rstrip(",")
        case "next morning":
            return (
                f"the morning after {short_day(one.day)} is not logged or its usual not known"
                if one.day
                else "no morning logged"
            )
        case "compensation":
            return f"compensation not looked at{on}"
        case _:
            return (
                f"the pain line is not known: {_lower(one.detail.rstrip('.'))}" if one.detail else "not known"
            )


def _line_reason(one: Criterion, unit: str) -> str:
    if one.bound is None or one.value is None:
        return "the pain line is not above the working load"
    if one.detail == "chance":
        return f"about {of_ten(one.value)} of 10 sets would hurt, {of_ten(one.bound)} are the limit"
    if one.detail == "below tried":
        return "it hurts at everything tried"
    return f"the pain line, {_estimate(one.value, unit)}, is not above the working load, {load_words(one.bound, unit)}"


def _estimate(load_kg: float, unit: str) -> str:
    value = load_kg if unit == "kg" else load_kg / 0.45359237
    return f"about {half_up(value, 1)} {unit}"


def criteria_table(rows: Sequence[HarderRow], unit: str) -> list[dict[str, str]]:
    """Every criterion of every exercise and side: met, not met, not logged."""
    return [
        {"exercise and side": row_name(row), "now": row.answer.variant, "next": row.answer.next_variant}
        | {
            "working load": ""
            if row.answer.working_load_kg is None
            else load_words(row.answer.working_load_kg, unit)
        }
        | {CRITERION_WORDS[one.name]: _state_words(one, row.answer) for one in row.answer.criteria}
        for row in rows
        if isinstance(row.answer, HarderStep)
    ]


def _state_words(one: Criterion, step: HarderStep) -> str:
    if one.name == "last trial" and not step.trials:
        return "none yet"
    return "not known" if one.name == "pain line" and one.state == "not logged" else one.state


def trial_table(rows: Sequence[HarderRow], unit: str) -> list[dict[str, str]]:
    """Every trial of a next variant with its dose and outcome, newest first."""
    found = [(row, one) for row in rows if isinstance(row.answer, HarderStep) for one in row.answer.trials]
    return [
        {
            "date": day_words(one.day),
            "exercise and side": row_name(row),
            "variant": one.variant,
            "dose": _dose(one, unit),
            "pain": "not asked" if one.pain is None else str(one.pain),
            "next morning": "not logged" if one.morning_pain is None else str(one.morning_pain),
            "outcome": OUTCOME_WORDS[one.outcome],
        }
        for row, one in sorted(found, key=lambda pair: pair[1].day, reverse=True)
    ]


def _dose(one: Trial, unit: str) -> str:
    parts = [] if one.n_sets == 1 else [f"1 of {counted(one.n_sets, 'set')}"]
    if one.reps is not None:
        parts.append(f"{half_up(one.reps)} reps")
    if one.hold_s is not None:
        parts.append(f"{half_up(one.hold_s)} s")
    if one.load_kg:
        parts.append(load_words(one.load_kg, unit))
    return ", ".join(parts)


def _due_sentence(row: HarderRow, step: HarderStep, unit: str) -> str:
    name = f"{row_name(row)}: {step.next_variant}"
    at = (
        "" if step.trial_load_kg is None else f", lightest used so far {load_words(step.trial_load_kg, unit)}"
    )
    match step.decision:
        case "due for a trial":
            return f"{name} is due for a trial: one set{at}."
        case "due for a second trial":
            return (
                f"{name} is due for a second trial; the first was quiet on {short_day(step.trials[-1].day)}."
            )
        case "trial not closed":
            return f"{name}: the trial of {short_day(step.trials[-1].day)} waits for its pain or its next morning."
        case _:
            return f"{name}: quiet in its last trials, with usual mornings; whether it becomes the work is yours."


def _is_due(row: HarderRow) -> bool:
    return isinstance(row.answer, HarderStep) and row.answer.decision.startswith("due")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def method_words(settings: HarderSettings) -> tuple[str, ...]:
    """How it was worked out, for the fold."""
    return (
        f"The variant worked with now is the hardest one of the last {settings.recent_sessions} sessions of that"
        " exercise and side, trials and warm-ups left out; the next one is the next in variants.csv. The criteria are"
        f" read from the last {settings.sessions_running} sessions with it. The working load is the heaviest of the"
        " last one; reps and reserve count for the sets at it.",
        "Pain during is the worst score of any side asked; a set stopped for pain, or sharp, catching or giving-way"
        " pain is not met whatever the score, and a day with a painkiller is never met. A morning is usual when it is"
        " less than 2 above the median of the 14 days before.",
        "For the pain line the middle of the estimate counts; where only its lower end is known, that end. After a"
        " trial that hurt or left the morning up, every one of these sessions has to come after it. Limits of"
        " limits.csv come first.",
        "Computed by analysis.questions.harder.harder.",
    )


def rung_words(rung: Rung, unit: str) -> str:
    """What was seen on a variant: ``3 of 40 hurt, up to 14 kg``, or ``not tried``."""
    if rung.n_sets == 0:
        return "not tried"
    if rung.n_asked == 0:
        return f"{counted(rung.n_sets, 'set')}, not asked"
    heaviest = "" if not rung.heaviest_kg else f", up to {load_words(rung.heaviest_kg, unit)}"
    return f"{rung.n_painful} of {rung.n_asked} hurt{heaviest}"


CHART_GUIDE = (
    "The variants of each exercise, the easiest first, over all weeks; darker where more of the sets hurt. A solid"
    " frame is the one worked with now, a dashed one is due for a trial."
)
