"""What the coach has looked at: in a file for logs of a folder, in this tab only for uploads (layer: controls)."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from dashboard.session import open_folder, uploaded
from dashboard.store.folder_looked_at import LookedAt, LookedAtFile
from dashboard.store.folder_place import data_folder

OF_UPLOAD = "looked_at_of_upload"
NOT_KEPT = "looked_at_not_kept"


def looked_at() -> LookedAt:
    """Marks of the news that were looked at, by client or log."""
    if uploaded() is not None:
        return LookedAt(marks=dict(st.session_state.get(OF_UPLOAD, {})), remark=None)
    return LookedAtFile(data_folder()).read(_place())


def put_away(name: str, marks: Sequence[str]) -> None:
    """Remember these news as looked at; none to see them again. What could not be kept is told by `not_kept`."""
    st.session_state.pop(NOT_KEPT, None)
    if uploaded() is not None:
        st.session_state.setdefault(OF_UPLOAD, {})[name] = tuple(marks)
        return
    file = LookedAtFile(data_folder())
    try:
        file.put(_place(), name, marks)
    except OSError as error:
        st.session_state[NOT_KEPT] = f"{file.path} cannot be written: {error.strerror}."


def not_kept() -> str | None:
    """Why the last thing looked at could not be remembered; None when it was."""
    said: str | None = st.session_state.get(NOT_KEPT)
    return said


def _place() -> str:
    return str(open_folder().resolve())
