"""What the model does not hold, counted by hand: compensation, rest, how pain was described, why a load was chosen."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from analysis.observations import observations
from analysis.questions.effects_counts import compensation_counts, described_pain, load_choice, rest_counts
from analysis.results import Withheld
from analysis.results_effects import CountedCondition, CountedGroup, LoadChoice
from tests.small_logs import small_log, squat


def asked(sets: Sequence[dict[str, object]]) -> pd.DataFrame:
    return observations(small_log(sets), "T-01")


def test_compensation_is_counted_over_all_and_at_loads_that_saw_both() -> None:
    """Slight only at 10 and 12 kg, none at 8 and 10: only the sets at 10 kg compare."""
    sets = [squat(n, 1, 8.0, 0, compensation="none") for n in range(6)]
    sets += [squat(10 + n, 1, 10.0, 3 * (n == 0), compensation="none") for n in range(4)]
    sets += [squat(20 + n, 1, 10.0, 3 * (n < 2), compensation="slight") for n in range(4)]
    sets += [squat(30 + n, 1, 12.0, 4, compensation="slight") for n in range(3)]
    sets += [squat(40, 1, 12.0, 4)]
    found = compensation_counts(asked(sets))
    assert found == CountedCondition(
        condition="compensation",
        groups=(
            CountedGroup(name="none", n_asked=10, n_painful=1),
            CountedGroup(name="slight", n_asked=7, n_painful=5),
        ),
        same_load=(
            CountedGroup(name="none", n_asked=4, n_painful=1),
            CountedGroup(name="slight", n_asked=4, n_painful=2),
        ),
        n_unknown=1,
    )


def test_compensation_needs_six_of_each() -> None:
    sets = [squat(n, 1, 8.0, 0, compensation="none" if n < 8 else "clear") for n in range(13)]
    told = compensation_counts(asked(sets))
    assert isinstance(told, Withheld)
    assert "none in 8 sets, slight or clear in 5" in told.reason


def test_rest_is_split_at_the_middle_one() -> None:
    sets = [squat(n, 1, 8.0, 3 * (n < 4), rest_s=60 if n < 6 else 120) for n in range(12)]
    found = rest_counts(asked(sets))
    assert isinstance(found, CountedCondition)
    assert found.groups == (
        CountedGroup(name="under 90 s", n_asked=6, n_painful=4),
        CountedGroup(name="90 s or more", n_asked=6, n_painful=0),
    )
    # The middle rest is the shortest one: then everything longer stands against it.
    sets = [squat(n, 1, 8.0, 0, rest_s=60 if n < 9 else 120) for n in range(15)]
    found = rest_counts(asked(sets))
    assert isinstance(found, CountedCondition)
    assert [one.name for one in found.groups] == ["60 s or less", "over 60 s"]
    assert [one.n_asked for one in found.groups] == [9, 6]


def test_rests_that_are_all_alike_or_not_logged_are_withheld() -> None:
    alike = rest_counts(asked([squat(n, 1, 8.0, 0, rest_s=90 if n else 60) for n in range(15)]))
    assert isinstance(alike, Withheld)
    assert "Nearly every rest was 90 s" in alike.reason
    assert isinstance(rest_counts(asked([squat(n, 1, 8.0, 0) for n in range(15)])), Withheld)


def test_only_painful_sets_are_described_in_the_order_of_the_schema() -> None:
    sets = [
        squat(0, 1, 8.0, 3, pain_at="middle", pain_feel="sharp"),
        squat(1, 1, 8.0, 4, pain_at="bottom", pain_feel="ache"),
        squat(2, 1, 8.0, 5, pain_at="bottom"),
        squat(3, 1, 8.0, 1, pain_at="top"),  # under the level
    ]
    where, when, what = described_pain(asked(sets))
    assert (where.column, where.n_painful, where.n_told) == ("pain_at", 3, 3)
    assert where.counts == (("bottom", 2), ("middle", 1))
    assert (when.n_told, when.counts) == (0, ())
    assert what.counts == (("ache", 1), ("sharp", 1))


def test_why_loads_were_chosen() -> None:
    reasons = ("plan", "pain", "pain", "feel", None)
    sets = [squat(n, 1, 8.0, 0, chosen_for=reason) for n, reason in enumerate(reasons)]
    assert load_choice(asked(sets)) == LoadChoice(n_told=4, n_by_pain=2, n_by_feel=1)
