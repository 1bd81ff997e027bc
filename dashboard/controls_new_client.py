"""What was typed about a new client, and writing it or taking it back (layer: controls)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import streamlit as st

from analysis.errors import LogError, OptionError
from dashboard import compute
from dashboard.compute import OWNER
from dashboard.samples import samples_folder
from dashboard.session import FOLDER, are_samples, choose_folder, open_clients, open_folder, uploaded
from dashboard.store.folder_intake import (
    FieldProblem,
    Intake,
    SiteAnswer,
    TaskAnswer,
    intake_log,
    intake_problems,
    told_signs,
)
from dashboard.store.folder_place import own_logs_folder
from dashboard.store.folder_writer import Begun, FolderWriter, is_one_log
from dashboard.wording.new_client import screening

FORM, TRIED, SAVED, FAILED, BACK = (
    f"new_client_{name}" for name in ("form", "tried", "saved", "failed", "back")
)
MOST_SITES, MOST_TASKS = 6, 5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Saved:
    """A client just written, and what is needed to take it back."""

    begun: Begun
    intake: Intake
    folder: Path
    opened_before: str | None
    switched: bool

    @property
    def signs(self) -> tuple[str, ...]:
        """Stop signs that were told."""
        return told_signs(self.intake)


def key(name: str) -> str:
    """Session key of one answer; a new form has new keys."""
    return f"new client {st.session_state.get(FORM, 0)} {name}"


def answered(name: str) -> Any:
    """What was answered so far; None where nothing was."""
    return st.session_state.get(key(name))


def count(name: str) -> int:
    """How many places or tasks the form has."""
    return int(st.session_state.get(key(f"n {name}"), 1))


def one_more(name: str) -> None:
    """Another place or task."""
    st.session_state[key(f"n {name}")] = count(name) + 1


def one_less(name: str) -> None:
    """The last place or task goes."""
    st.session_state[key(f"n {name}")] = max(count(name) - 1, 1)


def signs_to_ask() -> tuple[str, ...]:
    """Stop signs for the regions chosen so far."""
    return screening(answered(f"region {number}") for number in range(count("sites")))


def intake() -> Intake:
    """Everything typed so far."""
    n_sites = count("sites")
    main = answered("main") if n_sites > 1 else 0
    return Intake(
        client=_text("client"),
        unit=answered("unit"),
        started=answered("started"),
        bodyweight_kg=_text("bodyweight_kg"),
        sites=tuple(
            SiteAnswer(
                site=_text(f"site {number}"),
                region=answered(f"region {number}"),
                side=answered(f"side {number}"),
            )
            for number in range(n_sites)
        ),
        main=main if main is not None and main < n_sites else None,
        since=_text("since"),
        onset=answered("onset") or "",
        note=_text("note"),
        irritability=answered("irritability"),
        pain_level=answered("pain_level"),
        limit_during=answered("limit_during"),
        limit_after=answered("limit_after"),
        limit_next_morning=answered("limit_next_morning"),
        goal=_text("goal"),
        tasks=tuple(
            TaskAnswer(task=_text(f"task {number}"), difficulty=answered(f"difficulty {number}"))
            for number in range(count("tasks"))
        ),
        signs={sign: _yes(answered(f"sign {sign}")) for sign in signs_to_ask()},
        consent=bool(answered("consent")),
    )


def _text(name: str) -> str:
    return str(answered(name) or "").strip()


def _yes(said: str | None) -> bool | None:
    return None if said is None else said == "yes"


def logs_folder() -> tuple[Path, str]:
    """Where a new log goes, and why it is not the folder that is open; empty words where it is."""
    if uploaded() is not None:
        return own_logs_folder(), "What is open was uploaded and is kept in memory only."
    opened = open_folder()
    if are_samples() or opened.resolve() == samples_folder().resolve():
        return own_logs_folder(), "The invented samples are open, and nothing is written into them."
    if is_one_log(opened):
        return own_logs_folder(), f"{opened} is the log of one client."
    return opened, ""


def writer() -> FolderWriter:
    """What writes a new log there."""
    folder, _ = logs_folder()
    return FolderWriter(folder, compute.folder_source(folder) if folder.is_dir() else None)


def taken() -> tuple[str, ...]:
    """Codes that are taken: of the open clients, unless those are samples, and where the log goes."""
    _, is_elsewhere = logs_folder()
    there = () if is_elsewhere and are_samples() else tuple(ref.client for ref in open_clients())
    return tuple(dict.fromkeys((*there, *writer().codes(OWNER))))


def problems() -> tuple[FieldProblem, ...]:
    """What is to be mended, once saving was tried; nothing before."""
    return intake_problems(intake(), taken=taken()) if st.session_state.get(TRIED) == key("") else ()


def save() -> None:
    """Write the client if everything holds; what was typed stays either way."""
    if SAVED in st.session_state:
        return
    st.session_state[TRIED] = key("")
    for name in (FAILED, BACK):
        st.session_state.pop(name, None)
    answers = intake()
    try:
        if intake_problems(answers, taken=taken()):
            return
        folder, is_elsewhere = logs_folder()
        begun = writer().begin(OWNER, answers.client, intake_log(answers))
    except (OptionError, LogError, OSError) as error:
        if SAVED not in st.session_state:
            st.session_state[FAILED] = _failed(error)
        return
    st.session_state[SAVED] = Saved(
        begun=begun,
        intake=answers,
        folder=folder,
        opened_before=st.session_state.get(FOLDER),
        switched=bool(is_elsewhere),
    )
    if is_elsewhere:
        choose_folder(str(folder))


def _failed(error: Exception) -> str:
    what = str(error)
    if isinstance(error, OSError) and error.filename:
        what = f"{error.filename} cannot be written: {error.strerror}."
    return f"{what} Nothing was written; what was typed still stands."


def take_back() -> None:
    """Remove exactly what was written and go back to the form."""
    saved: Saved | None = st.session_state.get(SAVED)
    if saved is None:
        return
    st.session_state.pop(FAILED, None)
    try:
        FolderWriter(saved.folder).take_back(OWNER, saved.begun)
    except (OptionError, OSError) as error:
        st.session_state[FAILED] = str(error)
        return
    st.session_state.pop(SAVED, None)
    st.session_state[BACK] = saved.begun.client
    if saved.switched and not open_clients():
        if saved.opened_before is None:
            st.session_state.pop(FOLDER, None)
        else:
            st.session_state[FOLDER] = saved.opened_before


def begin_another() -> None:
    """An empty form."""
    st.session_state[FORM] = int(st.session_state.get(FORM, 0)) + 1
    for name in (SAVED, FAILED, BACK, TRIED):
        st.session_state.pop(name, None)


def saved_client() -> Saved | None:
    """The client just written, until another is begun."""
    found: Saved | None = st.session_state.get(SAVED)
    return found


def words_for(field: str, found: Sequence[FieldProblem]) -> list[str]:
    """Problems of one answer."""
    return [one.words for one in found if one.field == field]
