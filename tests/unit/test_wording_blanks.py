"""Both readings of blanks are told only where they differ, for the line that is shown."""

from __future__ import annotations

from dashboard.wording.blanks import both_readings
from tests.unit.made_lines import line


def test_both_readings_are_told_where_they_differ() -> None:
    shown, other = line(), line(load_kg=16.2, low_kg=14.9, high_kg=18.0)
    told = both_readings(shown, (line(chance=0.5, load_kg=20.0), other))
    assert told is not None
    assert "Blanks left out: 2 of 10 sets would hurt at about 14 kg in each hand (13 to 16)." in told
    assert "Blanks read as 0 or 1: 2 of 10 sets would hurt at about 16 kg in each hand (15 to 18)." in told


def test_nothing_is_said_where_they_agree() -> None:
    assert both_readings(line(), ()) is None
    assert both_readings(line(), (line(chance=0.5),)) is None
