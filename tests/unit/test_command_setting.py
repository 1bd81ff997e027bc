"""The setting on the command line: what is understood, and what every refusal says."""

from __future__ import annotations

import pytest

from analysis.errors import OptionError
from analysis.results import Setting
from dashboard.command_setting import NAMES, setting_from_text


def test_numbers_words_and_choices() -> None:
    text = "lowering_s=2, rom_pct=100 ,place=9,prepared=yes,provoked=no,range_stop=box 45 cm"
    assert setting_from_text(text) == Setting(
        lowering_s=2, rom_pct=100, place=9, prepared=True, provoked=False, range_stop="box 45 cm"
    )


def test_what_is_left_out_is_usual() -> None:
    assert setting_from_text("reps=8") == Setting(reps=8)


@pytest.mark.parametrize("text", ["tempo=2", "lowering_s", "", "lowering_s=2,,place=9", "=2"])
def test_an_unknown_name_lists_those_there_are(text: str) -> None:
    with pytest.raises(OptionError, match="no setting; write name=value with one of") as refusal:
        setting_from_text(text)
    assert all(name in str(refusal.value) for name in NAMES)


def test_a_name_given_twice() -> None:
    with pytest.raises(OptionError, match="place is given twice"):
        setting_from_text("place=9,place=8")


@pytest.mark.parametrize("value", ["two", "", "-1", "nan", "inf", "2;5"])
def test_a_number_that_is_none(value: str) -> None:
    with pytest.raises(OptionError, match=f"lowering_s is '{value}'; write a number of 0 or more"):
        setting_from_text(f"lowering_s={value}")


@pytest.mark.parametrize("name", ["prepared", "provoked"])
def test_a_choice_is_yes_or_no(name: str) -> None:
    with pytest.raises(OptionError, match=f"{name} is '1'; write yes or no"):
        setting_from_text(f"{name}=1")


def test_a_stop_has_a_name() -> None:
    with pytest.raises(OptionError, match="range_stop is empty"):
        setting_from_text("range_stop=")
