"""What goes with more pain, in words: names of changes, the heading, the table, what is not known (layer: wording)."""

from __future__ import annotations

from analysis.models.pain_fit import PainFit
from analysis.models.prediction import filled_setting
from analysis.results import Tried
from analysis.results_effects import BringsItOn, Effect, EffectSize, LoadChoice
from dashboard.wording.line_names import line_name, setting_words
from dashboard.wording.numbers import (
    counted,
    counted_as,
    decimals_for,
    half_up,
    load_words,
    of_ten,
    of_ten_range,
    percent,
)

LONGEST_HEADING = 60
OVER = 0.99
"""Draws cannot tell a higher probability from certainty."""
SURE = 0.95
"""Probability of a direction from which a heading may name it."""
CHART_GUIDE = (
    "Points of pain against the usual set, one change at a time: the dot is the middle, thick 80 %, thin 95 %. Scores"
    " of 5 and more count as 5, so large effects are understated."
)
CHOSEN = (
    "These are comparisons of sets as they were done, and loads were often chosen by how the last set felt. A change"
    " that goes with less pain here need not be what eased it: change one thing at a time and see, or flip a coin as"
    " below."
)


def known(found: BringsItOn) -> list[tuple[Effect, EffectSize]]:
    """Effects of which the data say more than was assumed beforehand, most points first."""
    return [(one, one.answer) for one in found.effects if isinstance(one.answer, EffectSize)]


def change_name(effect: Effect) -> str:
    """The change in a few words: ``1 s slower lowering (2 to 3 s)``."""
    before, after = _number(effect.before), _number(effect.after)
    span = "" if effect.before is None or effect.after is None else f" ({before} to {after}"
    match effect.term:
        case "load":
            return "10 % more load"
        case "lowering_s":
            return f"1 s slower lowering{span and span + ' s)'}"
        case "pause_s":
            return f"1 s longer pause{span and span + ' s)'}"
        case "rom_pct":
            return f"10 points more range{span and span + ' %)'}"
        case "range_rank":
            return _capital(f"{after}, not {before}") if span else "A longer range"
        case "reps":
            return f"2 more reps{span and span + ')'}"
        case "hold_s":
            return f"10 s longer hold{span and span + ' s)'}"
        case "set_number":
            return f"Set {after} of the exercise, not {before}"
        case "place":
            return f"Later in the session (set {after}, not {before})" if span else "Later in the session"
        case "prepared":
            return "Preparation done"
        case "provoked":
            return "Already sore today"
        case "pain_on_arrival":
            return "Pain on arrival, 1 point more"
        case _:
            return _capital(f"{after}, not {before}")


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def _number(value: float | str | None) -> str:
    if value is None or isinstance(value, str):
        return value or ""
    return half_up(value, 1).removesuffix(".0")


def signed(points: float, places: int) -> str:
    """Points with their sign: ``+0.2``, ``−0.2``; nothing but zeros reads ``0``."""
    text = half_up(abs(points), places)
    if float(text) == 0.0:
        return "0"
    return f"{'+' if points > 0 else '−'}{text}"


def points_words(size: EffectSize, *, interval: bool = True) -> str:
    """Points with their 80 % interval: ``+0.6 (+0.2 to +1.0)``."""
    low, high = size.points.low, size.points.high
    places = max(1, decimals_for(high - low))
    middle = signed(size.points.value, places)
    return f"{middle} ({signed(low, places)} to {signed(high, places)})" if interval else middle


def effects_heading(found: BringsItOn) -> str:
    """The clearest change as a sentence with its number, at most 60 characters where the names allow."""
    told = [(effect, size) for effect, size in known(found) if is_sure(size)]
    name = line_name(found.key)
    if not told:
        return f"{name}: no change told apart yet"
    effect, size = max(told, key=lambda one: abs(one[1].points.value))
    places = max(1, decimals_for(size.points.high - size.points.low))
    what = f"{signed(size.points.value, places)} points with {_in_a_sentence(change_name(effect))}"
    whole = f"{name}: {what}"
    short = f"{name}: {what.partition(' (')[0]}"
    return next((one for one in (whole, short) if len(one) <= LONGEST_HEADING), short)


def is_sure(size: EffectSize) -> bool:
    """Whether the direction may be named: probable enough, or taken for granted as for load."""
    return size.probability_direction is None or size.probability_direction >= SURE


def _in_a_sentence(name: str) -> str:
    return name[:1].lower() + name[1:]


def effects_evidence(found: BringsItOn, fit: PainFit, tried: Tried) -> str:
    """The usual set the points stand for, and how much stands behind them."""
    assert fit.design is not None
    load_kg = next((one.load_kg for one in found.effects if one.key == found.key), None)
    parts = [setting_words(filled_setting(fit.design, found.key, "usual"))]
    if load_kg is not None:
        parts.insert(0, f"{load_words(load_kg, tried.unit)}{counted_as(tried.load_basis)}")
    sizes = known(found)
    now = ""
    if sizes:
        usual = next((size for one, size in sizes if one.term == "load"), None)
        if usual is not None:
            chance = usual.chance_before
            now = (
                f" Of 10 such sets {_about(of_ten(chance.value))} would hurt at {fit.level} or more"
                f" ({of_ten_range(chance.low, chance.high)})."
            )
    return (
        f"The usual set: {', '.join(parts)}.{now} From {counted(fit.n_asked, 'asked set')} (a set asked about both"
        " sides gives two answers) of all exercises in"
        f" {counted(fit.n_sessions, 'session')}; {percent(fit.share_of_zeros)} of the scores are 0."
    )


def _about(count: str) -> str:
    """A count of ten with ``about`` before it where it is a number."""
    return f"about {count}" if count.isdigit() else count


def notes(found: BringsItOn) -> list[str]:
    """What else to know about some of the comparisons, each once."""
    return list(dict.fromkeys(f"{change_name(one)}: {one.note}" for one, _ in known(found) if one.note))


def direction_words(size: EffectSize) -> str:
    """Which way, and how probable: ``more pain, 97 %``."""
    if size.probability_direction is None:
        return "more pain (taken for granted)"
    way = "more pain" if size.log_odds.value > 0 else "less pain"
    share = size.probability_direction
    return f"{way}, {'over 99 %' if share > OVER else percent(share)}"


def effects_table(found: BringsItOn) -> list[dict[str, str]]:
    """One row a known change: points, of 10 sets before and after, direction."""
    return [
        {
            "change": change_name(effect),
            "points of pain": points_words(size),
            "of 10 sets would hurt": f"{of_ten(size.chance_before.value)} before, {of_ten(size.chance_after.value)}"
            f" after ({of_ten_range(size.chance_after.low, size.chance_after.high)})",
            "direction": direction_words(size),
        }
        for effect, size in known(found)
    ]


def unknown_sentences(found: BringsItOn) -> list[str]:
    """What is not known yet, each with its reason and how to find out."""
    return [
        " ".join(filter(None, (f"{change_name(one)}.", one.note, one.answer.reason, one.answer.remedy)))
        for one in found.effects
        if not isinstance(one.answer, EffectSize)
    ]


def chart_words(found: BringsItOn) -> str:
    """The chart in words, for those who hear it."""
    told = [f"{change_name(effect)}: {points_words(size)} points" for effect, size in known(found)]
    return f"{line_name(found.key)}. " + ("; ".join(told) if told else "No change told apart yet") + "."


def choice_words(choice: LoadChoice) -> str | None:
    """How often the load followed pain or feel; None where no reason was logged."""
    if choice.n_told == 0:
        return None
    return (
        f"In {choice.n_by_pain + choice.n_by_feel} of {counted(choice.n_told, 'set')} of this line the load was chosen"
        f" by pain ({choice.n_by_pain}) or by feel ({choice.n_by_feel})."
    )
