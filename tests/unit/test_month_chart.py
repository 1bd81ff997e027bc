"""The month's chart: bands in order, burn apart from pain, the month before paler, no line over a gap, labels."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise
from typing import Any

import pytest
import vl_convert

from analysis.questions.month import Month, month_summary
from dashboard.charts.look import DARK, LIGHT
from dashboard.charts.month_bands import bands_of, mondays
from dashboard.charts.month_chart import month_chart
from dashboard.charts.month_labels import event_labels, event_numbers
from dashboard.charts.month_marks import CROSS, paler
from dashboard.charts.panels import NARROW, WIDE
from tests.small_logs import small_log, squat

# 1 June 2026 is day 0, a Monday; July begins with day 30.
PAINS = ((2, 0), (9, 2), (16, 1), (31, 0), (33, 3), (50, 1))
AWAY = "2026-07-05"


def made(**tables: Any) -> Month:
    rows = [squat(day, 1, 10.0, pain, burn=5) for day, pain in PAINS]
    days = [{"client": "T-01", "date": "2026-07-02", "pain_morning": 1}]
    events = [{"client": "T-01", "date": AWAY, "event": "away"}]
    return month_summary(small_log(rows, **({"days": days, "events": events} | tables)), "T-01")


@pytest.fixture(scope="module")
def month() -> Month:
    return made()


def spec_of(month: Month, *, dark: bool = False) -> dict[str, Any]:
    chart = month_chart(month, description="July", dark=dark)
    assert chart is not None
    spec: dict[str, Any] = chart.to_dict()
    return spec


def layers(spec: dict[str, Any], kind: str, *, wide: bool = True, **mark: object) -> list[dict[str, Any]]:
    """Layers of one form whose mark has these properties, rows put in."""
    sign = ">=" if wide else "<"
    found = []
    for layer in spec["layer"]:
        if layer["mark"]["type"] != kind or sign not in layer["transform"][0]["filter"]:
            continue
        if all(layer["mark"].get(name) == value for name, value in mark.items()):
            data = layer["data"]
            found.append(
                layer | {"rows": spec["datasets"][data["name"]] if "name" in data else data["values"]}
            )
    return found


def titles(spec: dict[str, Any], *, wide: bool = True) -> list[str]:
    bold = layers(spec, "text", wide=wide, fontWeight="bold", baseline="bottom")
    return [row["text"] for layer in bold for row in layer["rows"]]


def test_bands_stand_in_order_and_burn_is_named_as_not_pain(month: Month) -> None:
    bands = bands_of(month)
    assert bands.load is not None
    order = (bands.pain, bands.load, bands.burn, bands.mornings)
    assert all(upper.start > lower.end for upper, lower in pairwise(order))
    assert [panel.domain for panel in (bands.pain, bands.burn, bands.mornings)] == [(0.0, 10.0)] * 3
    assert titles(spec_of(month))[:3] == [
        "Pain in sets, 0 to 10: worst, with median",
        "Load, kg",
        "Burn in the muscle, 0 to 10 (not pain): median",
    ]


def test_burn_has_a_mark_of_its_own(month: Month) -> None:
    crosses = layers(spec_of(month), "point", shape=CROSS)
    assert [len(one["rows"]) for one in crosses] == [3, 3]  # the month before, then this one
    assert all(one["mark"]["filled"] is False for one in crosses)


def test_filled_is_hurt_and_hollow_is_quiet_in_both_months(month: Month) -> None:
    squares = layers(spec_of(month), "point", shape="square", size=90)
    seen = {(one["mark"]["fill"], row["before"], row["hurt"]) for one in squares for row in one["rows"]}
    pale = paler(LIGHT)
    assert seen == {
        (LIGHT.paper, True, False),
        (pale.ink, True, True),
        (LIGHT.paper, False, False),
        (LIGHT.ink, False, True),
    }


def test_the_load_is_not_drawn_over_days_away(month: Month) -> None:
    rows = [row for one in layers(spec_of(month), "line") for row in one["rows"]]
    runs = [row["run"] for row in rows if not row["before"]]
    assert runs == [1, 1, 2]  # June ends more than 14 days before July; away before the last one
    assert {row["run"] for row in rows if row["before"]} == {0}


def test_days_away_are_shaded_with_their_name(month: Month) -> None:
    spec = spec_of(month)
    (shade,) = layers(spec, "rect")
    days = bands_of(month).days
    shown = {(row["x"], row["x2"]) for row in shade["rows"]}
    assert (days.at(33 - 2 + 0.5), days.at(50 - 2 - 0.5)) in shown  # 5 to 20 July, counted from 3 June
    assert "away" in {row["text"] for one in layers(spec, "text") for row in one["rows"]}


def test_the_chart_begins_with_the_log(month: Month) -> None:
    assert bands_of(month).days.origin == dt.date(2026, 6, 3)


def test_every_monday_has_its_rule(month: Month) -> None:
    assert mondays(dt.date(2026, 6, 3), dt.date(2026, 7, 21))[::3] == [
        dt.date(2026, 6, 8),
        dt.date(2026, 6, 29),
        dt.date(2026, 7, 20),
    ]
    assert mondays(dt.date(2026, 6, 3), dt.date(2026, 6, 4)) == [dt.date(2026, 6, 3)]
    weeks = [one for one in layers(spec_of(month), "rule", color=LIGHT.grid) if "y2" in one["encoding"]]
    assert [len(one["rows"]) for one in weeks] == [7]


def test_not_logged_is_said_and_takes_no_band() -> None:
    rows = [squat(day, 1, 10.0, pain) for day, pain in PAINS]
    bare = month_summary(small_log(rows), "T-01")
    assert titles(spec_of(bare))[2:4] == ["Burn in the muscle: not logged", "Mornings: not logged"]
    assert bands_of(bare).height < bands_of(made()).height


def test_without_a_month_before_nothing_stands_beside() -> None:
    alone = month_summary(small_log([squat(2, 1, 10.0, 0), squat(4, 1, 10.0, 2)]), "T-01")
    assert bands_of(alone).divider is None
    assert not [row for one in layers(spec_of(alone), "point") for row in one["rows"] if row.get("before")]


def made_events(*days_and_notes: tuple[int, str]) -> Month:
    events = [
        {"client": "T-01", "date": f"2026-07-{day:02d}", "event": "other", "note": note}
        for day, note in days_and_notes
    ]
    return made(events=events)


def test_labels_are_words_on_a_wide_page_and_numbers_on_a_phone() -> None:
    month = made_events((3, "New shoes"), (3, "New stairs"))
    days = bands_of(month).days
    assert [(one.shown, one.lane) for one in event_labels(month, days, WIDE)] == [
        ("New shoes", 1),
        ("New stairs", 0),
    ]
    assert [one.shown for one in event_labels(month, days, NARROW)] == ["1", "2"]
    assert event_numbers(month) == ("1 New shoes (3 Jul)", "2 New stairs (3 Jul)")


def test_a_label_without_room_on_the_right_ends_at_its_rule() -> None:
    month = made_events((20, "Carried a wardrobe down four floors"))
    (label,) = event_labels(month, bands_of(month).days, WIDE)
    assert (label.shown, label.align) == ("Carried a wardrobe down four floors", "right")


def test_a_label_may_end_at_its_rule_above_another() -> None:
    month = made_events((18, "Stairs"), (20, "Carried a wardrobe down four floors"))
    labels = event_labels(month, bands_of(month).days, WIDE)
    assert [(one.shown, one.lane, one.align) for one in labels] == [
        ("Stairs", 0, "right"),
        ("Carried a wardrobe down four floors", 1, "right"),
    ]


def test_no_text_lies_on_another_or_on_a_rule_and_every_event_is_named() -> None:
    month = made_events(*((day, "Carried a wardrobe down four floors") for day in (2, 11, 14, 15, 18, 20)))
    days = bands_of(month).days
    for form in (WIDE, NARROW):
        labels = event_labels(month, days, form)
        assert all(one.shown for one in labels)
        places = [days.at_day(one.day) for one in labels]
        widths = [7 * len(one.shown) / form.px for one in labels]
        spans = [
            (place, place + width) if one.align == "left" else (place - width, place)
            for one, place, width in zip(labels, places, widths, strict=True)
        ]
        for one, (start, end) in zip(labels, spans, strict=True):
            assert 0 <= start < end <= 1.01
            for other, place, span in zip(labels, places, spans, strict=True):
                assert not (other.lane >= one.lane and start < place < end)
                if other is not one and other.lane == one.lane:
                    assert span[1] <= start or end <= span[0]


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("width", [358, 1120])
def test_chart_renders_at_both_widths(month: Month, width: int, dark: bool) -> None:
    spec = spec_of(month, dark=dark)
    spec["width"] = width
    spec["config"]["font"] = "Liberation Sans"
    svg = vl_convert.vegalite_to_svg(spec)
    assert "Burn in the muscle" in svg
    assert (DARK.ink if dark else LIGHT.ink) in svg
