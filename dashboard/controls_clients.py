"""Rows of the page of clients: what each is, its order, whether it was looked at (layer: controls)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import streamlit as st

from analysis.questions.first_look import marks, message_mark, need
from analysis.results_first_look import KINDS, FirstLook
from dashboard.compute import OpenClient
from dashboard.compute_first_look import SeenClient, seen_so_far
from dashboard.store.folder_looked_at import LookedAt
from dashboard.store.source import BrokenLog, ClientRef

SEARCH, ALL = "clients_search", "clients_all"
"""Keys of the field to search in and of the switch that shows those looked at."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Entry:
    """One row of the page: a client with what is known of them, or a log that cannot be read.

    `marks` tell its news apart from later ones; `shows_news` is False where there is none or it is put away.
    """

    name: str
    kept_as: str
    order: tuple[int, int, str]
    marks: tuple[str, ...]
    is_looked_at: bool
    shows_news: bool
    what: tuple[ClientRef, OpenClient, SeenClient] | BrokenLog


def client_entry(ref: ClientRef, opened: OpenClient, seen: SeenClient, kept: LookedAt) -> Entry:
    """A client's row; news that were looked at count as none."""
    its_marks = marks(seen.look)
    is_old = bool(its_marks) and set(its_marks) <= set(kept.marks.get(ref.client, ()))
    shows_news = bool(its_marks) and (not is_old or shows_all())
    return Entry(
        name=ref.client,
        kept_as=ref.client,
        order=need(seen.look if shows_news else FirstLook(client=ref.client, news=())),
        marks=its_marks,
        is_looked_at=is_old,
        shows_news=shows_news,
        what=(ref, opened, seen),
    )


def broken_entry(one: BrokenLog, kept: LookedAt) -> Entry:
    """The row of a log that cannot be read; it stands before the remarks."""
    name, its_marks = one.path.name, (f"cannot be read {message_mark(one.problems)}",)
    is_old = set(its_marks) <= set(kept.marks.get(f"log {one.path.name}", ()))
    return Entry(
        name=name,
        kept_as=f"log {name}",
        order=(KINDS.index("remarks"), -dt.date.max.toordinal(), name),
        marks=its_marks,
        is_looked_at=is_old,
        shows_news=not is_old or shows_all(),
        what=one,
    )


def shows_all() -> bool:
    """Whether those looked at are shown as well."""
    return bool(st.session_state.get(ALL))


def every_entry(
    found: Sequence[tuple[ClientRef, OpenClient]], broken: Sequence[BrokenLog], today: dt.date, kept: LookedAt
) -> list[Entry]:
    """Every row in the order of need, as far as it is known."""
    rows = [client_entry(ref, opened, seen_so_far(opened, today), kept) for ref, opened in found]
    rows += [broken_entry(one, kept) for one in broken]
    return sorted(rows, key=lambda one: one.order)


def chosen(rows: Sequence[Entry]) -> list[Entry]:
    """Those to show: without faulty logs that were put away, and those only whose code was searched for."""
    searched = str(st.session_state.get(SEARCH) or "").strip().casefold()
    there = [one for one in rows if one.shows_news or not isinstance(one.what, BrokenLog)]
    return [one for one in there if searched in one.name.casefold()]


def waiting(rows: Sequence[Entry]) -> list[tuple[ClientRef, OpenClient]]:
    """Clients whose lines are not worked out yet."""
    known = [one.what for one in rows if not isinstance(one.what, BrokenLog)]
    return [(ref, opened) for ref, opened, seen in known if not seen.is_worked_out]


def n_new(rows: Sequence[Entry]) -> int:
    """Clients with news that were not looked at."""
    return sum(
        bool(one.marks) and not one.is_looked_at for one in rows if not isinstance(one.what, BrokenLog)
    )
