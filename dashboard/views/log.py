"""Log: what is open, what is wrong in it, another folder, an upload (layer: views)."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import streamlit as st

from analysis.errors import OptionError
from analysis.log import LogCheck
from analysis.training_log import TrainingLog
from dashboard import answer, compute
from dashboard.compute import OWNER
from dashboard.session import (
    are_samples,
    choose_folder,
    close_uploaded,
    hold_uploaded,
    log_paths,
    logs_at,
    open_clients,
    open_folder,
    source,
    uploaded,
)
from dashboard.store.uploads import read_uploaded
from dashboard.wording.escape import esc
from dashboard.wording.log_facts import headings_sentence, log_heading, read_sentence, refused_sentence
from dashboard.wording.numbers import counted


def choose() -> None:
    """A folder on this machine, or files; uploads are kept in memory only."""
    folder, upload = st.columns(2, gap="large")
    with folder, st.form("folder", border=False):
        path = st.text_input(
            "Folder on this machine", value=str(open_folder()), help="One log folder, or a folder of them."
        )
        if st.form_submit_button("Open this folder"):
            take_folder(path)
    with upload:
        files = st.file_uploader(
            "Or files: the CSV files of one log, or one .xlsx",
            type=["csv", "xlsx"],
            accept_multiple_files=True,
            key="files",
            on_change=close_uploaded,
        )
        st.caption("Kept in memory until this tab is closed; no copy stays on the disk.")
        if files and uploaded() is None:
            take_upload([(one.name, one.getvalue()) for one in files])


def take_folder(path: str) -> None:
    """Open a folder if there is one that may be read."""
    if not Path(path).expanduser().exists():
        st.error(f"There is no folder {esc(path)}. Copy its path from the file manager.")
        return
    try:
        logs_at(Path(path))
    except OptionError as error:
        st.error(esc(str(error)))
    except OSError as error:
        st.error(esc(f"{path} cannot be read: {error.strerror}. Choose a folder you may open."))
    else:
        choose_folder(path)


def take_upload(files: Sequence[tuple[str, bytes]]) -> None:
    """Read uploaded files; a good log becomes the open one, a broken one shows its problems."""
    with st.spinner("Reading the files"):
        hold_uploaded(read_uploaded(files, owner=OWNER))


def opened() -> list[tuple[str, LogCheck]]:
    """Name and check of every log that is open, those to mend first."""
    if (held := uploaded()) is not None:
        return [(held.name, held.check)]
    found = [(path.name, compute.log_check(path)) for path in log_paths()]
    return sorted(found, key=lambda one: not one[1].problems)


def log_of(name: str) -> TrainingLog | None:
    """The log of that name, when it was read."""
    client = next((ref.client for ref in open_clients() if ref.log_name == name), None)
    return None if client is None else source().log(OWNER, client)[0]


def show_log(name: str, check: LogCheck, number: int) -> None:
    """What was read from one log, or every problem of it, and the remarks apart."""
    with st.container(border=True):
        st.subheader(esc(name), anchor=False)
        if check.problems:
            st.markdown(esc(refused_sentence(check.problems)))
            if (needed := headings_sentence(check.problems)) is not None:
                st.markdown(esc(needed))
            answer.problem_table(check.problems, name=f"problems-{number}")
            answer.problem_sentences(check.problems)
        elif (log := log_of(name)) is not None:
            st.markdown(esc(read_sentence(log)))
        else:
            st.markdown("No client is in this log yet.")
        if check.remarks:
            with st.expander(f"{counted(len(check.remarks), 'remark')}: read all the same, worth a look"):
                answer.problem_table(check.remarks, name=f"remarks-{number}")


heading = st.container()
choose()
logs = opened()
broken = sum(bool(check.problems) for _, check in logs)
with heading:
    answer.title(
        log_heading(len(logs) - broken, broken), "The invented samples are open." if are_samples() else ""
    )
if not logs:
    st.markdown(esc(f"There is no log in {open_folder()}."))
    answer.sentences(answer.HOW_TO_BEGIN)
for order, (log_name, log_check) in enumerate(logs):
    show_log(log_name, log_check, order)
if open_clients():
    st.page_link("views/clients.py", label="To the clients of this log")
