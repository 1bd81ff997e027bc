"""Settings of the rules behind a page, kept while the app is open; each starts at common practice (layer: controls)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import streamlit as st

from analysis.questions.harder_settings import HarderSettings
from analysis.questions.proposal_settings import ProposalSettings

_KEPT = "settings kept"
"""Session key of the settings that differ from the usual, by name; outlives a change of page."""
DIAL = (1, 2, 3)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Field:
    """One number that can be set."""

    name: str
    label: str
    low: float
    high: float
    step: float
    per_unit: float = 1.0


PROPOSAL_FIELDS = (
    _Field(name="break_days", label="Days off that count as a break", low=3, high=90, step=1),
    _Field(
        name="restart_share",
        label="Restart at, % of the last quiet load",
        low=10,
        high=95,
        step=5,
        per_unit=100,
    ),
    _Field(name="sessions_back", label="Quiet sessions before going back up", low=1, high=10, step=1),
    _Field(name="least_rir", label="Reps in reserve a step up needs", low=0, high=10, step=1),
    _Field(name="more_reps", label="More reps first, before a large step", low=0, high=10, step=1),
    _Field(
        name="reps_first_above", label="A large step: more than, %", low=1, high=100, step=1, per_unit=100
    ),
)
HARDER_FIELDS = (
    _Field(name="sessions_running", label="Sessions running that meet the criteria", low=1, high=10, step=1),
    _Field(name="reserve_reps", label="Reps in reserve", low=0, high=10, step=1),
    _Field(
        name="pain_during", label="Highest pain during, where no limit is on file", low=0, high=10, step=1
    ),
    _Field(name="quiet_trials", label="Quiet trials until it is no trial any more", low=1, high=10, step=1),
)


def pick_may_hurt() -> float:
    """The one dial: how many sets in 10 may hurt, as a share."""
    kept = st.session_state.setdefault(_KEPT, {})
    widget = "may_hurt"
    # Said at every run: on coming back from another page the chooser is a new one.
    st.session_state[widget] = st.session_state.get(widget) or kept.get(widget, 2)
    count = st.segmented_control("Sets in 10 that may hurt", DIAL, key=widget, required=True)
    kept[widget] = count or 2
    return kept[widget] / 10


def proposal_settings() -> ProposalSettings:
    """Settings of the proposals as they stand, the dial among them."""
    kept = st.session_state.get(_KEPT, {})
    usual = ProposalSettings()
    return replace(usual, **_changed(PROPOSAL_FIELDS, usual), may_hurt=kept.get("may_hurt", 2) / 10)


def harder_settings() -> HarderSettings:
    """Criteria of a trial as they stand."""
    usual = HarderSettings()
    return replace(usual, **_changed(HARDER_FIELDS, usual))


def set_numbers(fields: tuple[_Field, ...], usual: object) -> None:
    """A fold with one number a setting; what is changed is kept, and one button takes all of it back."""
    kept = st.session_state.setdefault(_KEPT, {})
    changed = sum(field.name in kept for field in fields)
    label = f"Settings: {changed} of {len(fields)} changed" if changed else "Settings"
    with st.expander(label):
        st.markdown("Common practice, not proved; set what you work by.")
        columns = st.columns(2)
        for place, field in enumerate(fields):
            with columns[place % 2]:
                _number(field, _shown(field, usual), kept)
        st.button("Back to common practice", key=f"usual {fields[0].name}", on_click=_forget, args=(fields,))


def _shown(field: _Field, usual: object) -> float:
    return float(getattr(usual, field.name)) * field.per_unit


def _number(field: _Field, usual: float, kept: dict[str, float]) -> None:
    widget = f"setting {field.name}"
    shown = st.session_state.get(widget)
    st.session_state[widget] = float(kept.get(field.name, usual)) if shown is None else shown

    def keep() -> None:
        value = st.session_state[widget]
        if value is None or value == usual:
            kept.pop(field.name, None)
        else:
            kept[field.name] = value

    st.number_input(
        field.label,
        min_value=float(field.low),
        max_value=float(field.high),
        step=float(field.step),
        format="%g",
        key=widget,
        on_change=keep,
    )


def _forget(fields: tuple[_Field, ...]) -> None:
    for field in fields:
        st.session_state[_KEPT].pop(field.name, None)
        st.session_state.pop(f"setting {field.name}", None)


def _changed(fields: tuple[_Field, ...], usual: object) -> dict[str, Any]:
    """Kept values in the units of the rules; whole where the rule counts."""
    kept = st.session_state.get(_KEPT, {})
    found: dict[str, Any] = {}
    for field in fields:
        if field.name in kept:
            value = kept[field.name] / field.per_unit
            found[field.name] = round(value) if isinstance(getattr(usual, field.name), int) else value
    return found
