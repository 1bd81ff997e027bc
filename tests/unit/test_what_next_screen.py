"""What happened next on the screen: sentences by hand, names of scopes, both kinds of chart rendered at both widths."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
import vl_convert

from analysis.questions.what_next import what_next
from analysis.results_what_next import WhatNext
from dashboard.charts.next_chart import next_chart
from dashboard.charts.next_sets_panel import ordered
from dashboard.wording.what_next import (
    event_deed,
    scope_names,
    what_next_evidence,
    what_next_heading,
    what_next_sentences,
    what_next_table,
)
from tests.small_logs import small_log, squat


def found(n_days: int, *, next_pain: int = 0, **second: object) -> WhatNext:
    """A set at 12 kg that hurt and a lighter one, on each of some days."""
    sets = []
    for day in range(n_days):
        sets += [squat(3 * day, 1, 12.0, 4), squat(3 * day, 2, 10.0, next_pain, **second)]
    days = [{"client": "T-01", "date": "2026-06-02", "pain_morning": 3}]
    return what_next(small_log(sets, days=days), "T-01")[0]


@pytest.fixture(scope="module")
def few() -> WhatNext:
    return found(3)


@pytest.fixture(scope="module")
def many() -> WhatNext:
    return found(13)


def test_counts_are_said_from_six_on(few: WhatNext, many: WhatNext) -> None:
    assert what_next_heading(few) == "3 sets hurt: too few to count what came next"
    assert what_next_heading(many) == "After 13 sets that hurt, 13 of 13 next sets were quiet"
    assert what_next_sentences(few)[0] == "Fewer than 6 times, so only the sets are shown: lighter 3."
    # Wilson, 80 %, 13 of 13: low end 1 / (1 + z * z / 13) with z = 1.281552, that is .8878
    assert what_next_sentences(many)[0] == (
        "Lighter: the next set was quiet 13 of 13 times, 100 % (80 % interval 89 to 100 %)."
    )


def test_headings_fit_the_page(many: WhatNext) -> None:
    crowded = replace(
        many,
        total=replace(many.total, n_events=1234, n_asked_next=1000, n_quiet_next=999),
        events=many.events,
    )
    assert len(what_next_heading(crowded)) <= 60


def test_nothing_hurt_reads_as_help(few: WhatNext) -> None:
    calm = replace(few, events=())
    assert what_next_heading(calm) == "No set hurt at 2 or more so far"
    assert "When one is, this page shows" in what_next_evidence(calm)
    assert what_next_sentences(calm) == ()
    assert next_chart(calm, description="x") is None


def test_the_table_tells_every_set_in_words(few: WhatNext) -> None:
    row = what_next_table(few.events, "kg")[-1]
    assert row == {
        "date": "1 Jun 2026",
        "exercise and side": "Step-down, left",
        "pain": "4",
        "done next": "lighter",
        "known from": "sets",
        "load": "12, then 10 kg",
        "next set": "0",
        "next morning": "3",
        "next time": "4 at 12 kg, 4 Jun 2026",
    }


def test_several_changes_are_named() -> None:
    log = small_log([squat(0, 1, 12.0, 4, rom_pct=100), squat(0, 2, 10.0, 0, rom_pct=80)])
    assert event_deed(what_next(log, "T-01")[0].events[0]) == "lighter and shorter range"


def test_two_sided_work_is_named_beside_one_sided() -> None:
    log = small_log([squat(0, 1, 12.0, 4), squat(0, 2, 24.0, 4, side="both", variant="two legs")])
    named = scope_names(what_next(log, "T-01"))
    assert {name: one.works for name, one in named.items()} == {
        ("step-down", "left"): "left",
        ("step-down", "left, both work"): "both",
    }


def test_rows_stand_by_deed_and_newest_first() -> None:
    sets = [squat(0, 1, 12.0, 4), squat(1, 1, 12.0, 4), squat(1, 2, 10.0, 4), squat(2, 1, 12.0, 4)]
    one = what_next(small_log(sets), "T-01")[0]
    assert [(event.deed, event.day.day) for event in ordered(one)] == [
        ("lighter", 2),
        ("last set", 3),
        ("last set", 2),
        ("last set", 1),
    ]


def spec_of(one: WhatNext, *, width: int, dark: bool = False) -> dict[str, Any]:
    chart = next_chart(one, description="Next sets", dark=dark)
    assert chart is not None
    spec: dict[str, Any] = chart.to_dict()
    spec["width"] = width
    spec["config"]["font"] = "Liberation Sans"
    return spec


@pytest.mark.parametrize("width", [358, 1120])
def test_few_sets_have_a_row_each(few: WhatNext, width: int) -> None:
    picture = vl_convert.vegalite_to_svg(spec_of(few, width=width))
    assert picture.count(">lighter<") == 3


@pytest.mark.parametrize(("width", "dark"), [(358, True), (1120, False)])
def test_many_sets_have_a_row_a_deed(many: WhatNext, width: int, dark: bool) -> None:
    picture = vl_convert.vegalite_to_svg(spec_of(many, width=width, dark=dark))
    assert picture.count(">Lighter<") == 1
    assert ">quiet 13 of 13<" in picture
    assert ">13<" in picture  # the count in its circle


def test_hurt_is_filled_and_quiet_is_hollow(few: WhatNext) -> None:
    spec = spec_of(few, width=1120)
    points = [layer for layer in spec["layer"] if layer["mark"].get("shape") == "square"]
    hurt = [layer for layer in points if layer["mark"]["fill"] == layer["mark"]["stroke"]]
    quiet = [layer for layer in points if layer["mark"]["fill"] != layer["mark"]["stroke"]]
    # one layer for each form; the sets at 4 are filled, the next ones at 0 hollow
    for layers in (hurt, quiet):
        assert len(layers) == 2
        assert {len(rows_of(spec, layer)) for layer in layers} == {3}


def rows_of(spec: dict[str, Any], layer: dict[str, Any]) -> list[dict[str, Any]]:
    data = layer["data"]
    rows: list[dict[str, Any]] = spec["datasets"][data["name"]] if "name" in data else data["values"]
    return rows
