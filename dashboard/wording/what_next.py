"""What was done after a set that hurt, in words: heading, counts, the sets as a table (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.results import Estimate, LineKey, Withheld
from analysis.results_what_next import Deed, DeedCount, FollowingSet, PainfulSet, WhatNext
from dashboard.wording.line_names import line_name, side_name
from dashboard.wording.numbers import counted, day_words, half_up, load_words, plain_load

DEED_WORDS: dict[Deed, str] = {
    "same": "same again",
    "hold": "a hold instead",
    "other side": "other side, then back",
    "unloaded work": "unloaded work, then back",
    "several": "several changes",
    "last set": "last set that day",
}
FEWEST_EVENTS = 6
NOT_WHAT_MADE_IT = (
    "A set is on this page because it hurt; after an unusually bad set the next one tends to be nearer the usual"
    " whatever was done. These rows show what happened, not what made the difference."
)


def chart_guide(*, by_set: bool) -> str:
    """How the chart is to be read, a sentence or two."""
    if by_set:
        return (
            "Filled: hurt. Hollow: quiet. The line leads from the set that hurt to the next one of that exercise"
            " and side; the small triangle is the next morning. Grouped by what was done, newest first."
        )
    return (
        "Pain of the next set of that exercise and side, by what was done. Circles are counts of sets: filled hurt,"
        " hollow quiet."
    )


def scope_name(found: WhatNext) -> str:
    """``Box squat, left``, or ``All exercises``."""
    if found.exercise is None or found.side is None or found.works is None:
        return "All exercises"
    return line_name(LineKey(exercise=found.exercise, variant="standard", side=found.side, works=found.works))


def scope_names(scopes: Sequence[WhatNext]) -> dict[tuple[str, str], WhatNext]:
    """Exercise and named side of each scope; two-sided work is named where one side works alone as well."""
    named: dict[tuple[str, str], WhatNext] = {}
    for one in sorted(scopes, key=lambda one: one.works == "both"):
        if one.exercise is None or one.side is None or one.works is None:
            continue
        side = side_name(LineKey(exercise=one.exercise, variant="standard", side=one.side, works=one.works))
        if (one.exercise, side) in named:
            side = f"{side}, both work"
        named[one.exercise, side] = one
    return named


def deed_words(deed: Deed) -> str:
    """What was done, as a coach says it."""
    return DEED_WORDS.get(deed, deed)


def event_deed(event: PainfulSet) -> str:
    """What was done after one set; several changes are named."""
    words = deed_words(event.deed)
    if event.deed == "several":
        words = " and ".join(deed_words(one) for one in event.changes)
    return f"{words} (painkiller)" if event.painkiller else words


def event_loads(event: PainfulSet, unit: str) -> str:
    """Load of the set and of the next one: ``34, then 30 kg``."""
    if event.load_kg is None:
        return ""
    after = event.following[0].load_kg if event.following else None
    if after is None:
        return load_words(event.load_kg, unit)
    return f"{plain_load(event.load_kg, unit)}, then {load_words(after, unit)}"


def what_next_heading(found: WhatNext) -> str:
    """``After 68 sets that hurt, 26 of 38 next sets were quiet``, at most 60 characters."""
    total = found.total
    if not found.events:
        return f"No set hurt at {found.pain_level} or more so far"
    n = counted(total.n_events, "set")
    if total.n_events == 0:
        return "Sets hurt on painkiller days only"
    if total.n_asked_next == 0:
        return f"{n} hurt; no next set of that day was asked"
    if total.n_asked_next < FEWEST_EVENTS:
        return f"{n} hurt: too few to count what came next"
    return f"After {n} that hurt, {total.n_quiet_next} of {total.n_asked_next} next sets were quiet"


def what_next_evidence(found: WhatNext) -> str:
    """What counts, how many were followed, how it is known what was done, and the share with its interval."""
    if not found.events:
        return (
            f"No set was scored {found.pain_level} or more of 10 or stopped for pain. When one is, this page shows what"
            " was done next, and how the following sets and the next morning were."
        )
    total = found.total
    shown = [one for one in found.events if not one.painkiller]
    sessions = len({(one.day, one.session) for one in shown})
    followed = sum(bool(one.following) for one in shown)
    parts = [
        f"{scope_name(found)}: {counted(total.n_events, 'set')} at {found.pain_level} or more of 10, or stopped"
        f" for pain, in {counted(sessions, 'session')}; {followed} followed by another set of that exercise and"
        " side the same day.",
    ]
    if total.n_told < total.n_events:
        parts.append(f"What was done was logged for {total.n_told}; for the others it is read from the sets.")
    if isinstance(total.quiet_next, Estimate):
        parts.append(f"Quiet next: {share_words(total.quiet_next)}.")
    if len(shown) < len(found.events):
        parts.append(
            f"{counted(len(found.events) - len(shown), 'set')} on painkiller days: shown, not counted."
        )
    return " ".join(parts)


def share_words(share: Estimate) -> str:
    """``68 % (80 % interval 58 to 77 %)``."""
    low, high = half_up(share.low * 100), half_up(share.high * 100)
    return f"{half_up(share.value * 100)} % ({half_up(share.confidence_level * 100)} % interval {low} to {high} %)"


def count_words(count: DeedCount) -> str:
    """``quiet 13 of 18``, from six on; below that how many there are."""
    if isinstance(count.quiet_next, Withheld):
        return f"{counted(count.n_asked_next, 'set')}, too few to count"
    return f"quiet {count.n_quiet_next} of {count.n_asked_next}"


def what_next_sentences(found: WhatNext) -> tuple[str, ...]:
    """Each deed with enough sets, the mornings, the deeds with too few."""
    enough = [one for one in found.deeds if isinstance(one.quiet_next, Estimate)]
    sentences = [
        f"{_capital(deed_words(one.deed))}: the next set was quiet {one.n_quiet_next} of {one.n_asked_next} times,"
        f" {share_words(one.quiet_next)}."
        for one in enough
        if one.deed is not None and isinstance(one.quiet_next, Estimate)
    ]
    few = [one for one in found.deeds if one.n_asked_next and one not in enough]
    if few:
        names = ", ".join(f"{deed_words(one.deed)} {one.n_asked_next}" for one in few if one.deed is not None)
        sentences.append(f"Fewer than {FEWEST_EVENTS} times, so only the sets are shown: {names}.")
    return (*sentences, morning_sentence(found)) if found.events else ()


def morning_sentence(found: WhatNext) -> str:
    """How often the morning after was up."""
    total = found.total
    if isinstance(total.morning_up, Withheld):
        return (
            f"Next mornings: {total.n_mornings} of these days have one with a known usual, and {FEWEST_EVENTS} are"
            " needed. The usual needs 4 mornings logged in the 14 days before."
        )
    return (
        f"Next mornings: 2 or more above usual on {total.n_mornings_up} of {total.n_mornings} days,"
        f" {share_words(total.morning_up)}."
    )


def what_next_table(events: Sequence[PainfulSet], unit: str) -> list[dict[str, str]]:
    """Every set that hurt in words, newest first."""
    return [
        {
            "date": day_words(one.day),
            "exercise and side": line_name(one.key),
            "pain": score_words(one.pain, at_least=one.at_least),
            "done next": event_deed(one),
            "known from": "log" if one.told else "sets",
            "load": event_loads(one, unit),
            "next set": next_words(one.following[0]) if one.following else "none that day",
            "next morning": _morning(one),
            "next time": _next_time(one.next_time, unit),
        }
        for one in sorted(events, key=lambda one: (one.day, one.session, one.set_number), reverse=True)
    ]


def score_words(pain: int, *, at_least: bool) -> str:
    """A score, or the least it can have been."""
    return f"{pain} or more" if at_least else str(pain)


def next_words(after: FollowingSet) -> str:
    """Pain of the next set: a score or ``not asked``."""
    return "not asked" if after.pain is None else score_words(after.pain, at_least=after.at_least)


def _next_time(after: FollowingSet | None, unit: str) -> str:
    if after is None:
        return "not done since"
    load = "" if after.load_kg is None else f" at {load_words(after.load_kg, unit)}"
    return f"{next_words(after)}{load}, {day_words(after.day)}"


def _morning(event: PainfulSet) -> str:
    if event.morning_pain is None:
        return "not logged"
    if event.morning_up is None:
        return str(event.morning_pain)
    return f"{event.morning_pain}, {'up' if event.morning_up else 'not up'}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def method_words(found: WhatNext) -> tuple[str, ...]:
    """How it was counted, for the fold."""
    wider = found.total.quiet_next_95
    parts = [
        f"A set counts when it was scored {found.pain_level} or more, or was stopped for pain. Each side of the body"
        " that hurts counts once. The next set is the next one of that exercise and working side on the same day, and"
        " it is quiet when the same side stayed below that.",
        "The logged response says what was done. Without one it is read from the next set: load, range, lowering,"
        " planned reps, hold, variant; work of the other side or unloaded work between them, where that is not this"
        " client's usual order; a rest a minute or more above usual. Left it: no next set though this exercise"
        " usually has more; last set: nothing tells.",
        "Shares have Wilson score intervals and are stated from six sets on. Sets of one session are alike, so the"
        " intervals are too narrow where few sessions hold them. A morning is up at 2 or more above the median of"
        " the 14 days before, and a day counts once however many of its sets hurt.",
    ]
    if isinstance(wider, Estimate):
        parts.append(f"All together, with 95 %: quiet next {share_words(wider)}.")
    parts.append(
        "Computed by analysis.questions.what_next.what_next; the intervals by statsmodels' proportion_confint."
    )
    return tuple(parts)
