"""Clients: one dated sentence each with one thing to do, who needs a look first on top (layer: views)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from functools import partial

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from analysis.results_first_look import (
    FallenLineNews,
    MorningNews,
    RemarkNews,
    SilenceNews,
    TrialNews,
)
from dashboard import answer, compute
from dashboard.compute import OpenClient
from dashboard.compute_first_look import SeenClient, seen_wholly
from dashboard.controls import line_query
from dashboard.controls_clients import ALL, SEARCH, Entry, chosen, every_entry, n_new, waiting
from dashboard.controls_looked_at import looked_at, not_kept, put_away
from dashboard.session import are_samples, every_client, open_folder, present_day, remarks_on, unreadable
from dashboard.store.source import BrokenLog, ClientRef
from dashboard.wording.clients import (
    broken_sentence,
    client_sentence,
    clients_heading,
    how_far,
    leading_line,
    left_out_sentence,
    news_sentence,
    today_note,
    waiting_sentence,
)
from dashboard.wording.escape import esc
from dashboard.wording.numbers import counted

PAGE = 25  # so many are shown, and worked out, at a time
LIMIT = "clients_limit"
PAIN_LINE, TODAY, MONTH, HARDER, LOG, NEW = (
    f"views/{name}.py" for name in ("pain_line", "today", "month", "harder", "log", "new_client")
)


def show(entry: Entry, *, with_button: bool) -> None:
    """Code, sentence, the one thing to do, and the button that puts it away."""
    st.html("<hr>")
    code, words, ways = st.columns([2, 7, 4], vertical_alignment="top")
    if isinstance(entry.what, BrokenLog):
        code.markdown(f"**{esc(entry.name)}**")
        words.markdown(esc(broken_sentence(compute.problem_count(entry.what))))
    else:
        code.page_link(PAIN_LINE, label=f"**{esc(entry.name)}**", query_params=line_of(*entry.what))
        words.markdown(esc(sentence(*entry.what, shows_news=entry.shows_news)))
    with ways.container(horizontal=True, horizontal_alignment="distribute"):
        label, page, asked = action(entry)
        st.page_link(page, label=label, query_params=asked)
        if with_button and entry.shows_news:
            put_away_button(entry)


def sentence(ref: ClientRef, opened: OpenClient, seen: SeenClient, *, shows_news: bool) -> str:
    """What is said of a client: the news, else where the line stands, as far as it is known."""
    pause = None if seen.look.left_out is None else left_out_sentence(seen.look.left_out)
    if shows_news:
        return ". ".join([news_sentence(seen.look.news), *([pause] if pause else [])])
    if pause:
        return pause
    if seen.no_answer is not None:
        return f"No answer: {seen.no_answer}"
    if seen.as_of is None or ref.n_sets == 0:
        return waiting_sentence(ref.n_sets, ref.last_date)
    return client_sentence(seen.as_of, seen.lines)


def line_of(ref: ClientRef, opened: OpenClient, seen: SeenClient) -> dict[str, str]:
    """What stands in the address for the line that matters most."""
    leading = leading_line(seen.lines)
    return line_query(ref.client, None if leading is None else leading.key)


def action(entry: Entry) -> tuple[str, str, dict[str, str]]:
    """The one thing to do: words of the link, its screen, what stands in the address."""
    name, client = esc(entry.name), {"client": entry.name}
    if isinstance(entry.what, BrokenLog):
        return f"Problems of {name}", LOG, {}
    ref, _, seen = entry.what
    match seen.look.news[0] if entry.shows_news else None:
        case MorningNews():
            return f"Month of {name}", MONTH, client
        case FallenLineNews(key=key):
            return f"Pain line of {name}", PAIN_LINE, line_query(entry.name, key)
        case RemarkNews():
            return f"Remarks of {name}", LOG, {}
        case TrialNews():
            return f"Easier and harder of {name}", HARDER, client
        case None if seen.look.left_out is not None:
            return f"Today of {name}", TODAY, client
        case SilenceNews() | None if ref.n_sets == 0:
            return f"Log for {name}", LOG, {}
        case None:
            return f"Pain line of {name}", PAIN_LINE, line_of(*entry.what)
        case _:
            return f"Today of {name}", TODAY, client


def put_away_button(entry: Entry) -> None:
    """Looked at, or not after all."""
    st.button(
        "Bring back as news" if entry.is_looked_at else "Looked at",
        key=f"looked at {entry.kept_as}",
        help=f"{esc(entry.name)}: hidden until there is other news; it can be brought back.",
        on_click=put_away,
        args=(entry.kept_as, () if entry.is_looked_at else entry.marks),
    )


def work_out(clients: Sequence[tuple[ClientRef, OpenClient]], today: dt.date) -> None:
    """Lines of these clients, one after the other."""
    progress = st.empty()
    for number, (ref, opened) in enumerate(clients):
        progress.progress(number / len(clients), text=f"Working out the lines of {esc(ref.client)}")
        seen_wholly(opened, today, partial(remarks_on, ref, opened.log))
    progress.empty()


def show_page(found: Sequence[tuple[ClientRef, OpenClient]], broken: Sequence[BrokenLog]) -> None:
    """Heading, rows, how far it is; while lines are worked out the rows stand as far as they are known."""
    today, kept = present_day(ref for ref, _ in found), looked_at()
    note = today_note(today, len(broken)) if are_samples() else ""
    head = st.empty()
    st.page_link(NEW, label="New client")
    if len(found) > PAGE:
        st.text_input("Find a client by code", key=SEARCH, type="search", width=280)
    progress, area = st.container(), st.empty()
    limit = st.session_state.get(LIMIT, PAGE)
    rows = every_entry(found, broken, today, kept)
    if left := waiting(chosen(rows)[:limit]):
        with head.container():
            answer.title(counted(len(found), "client"), note)
        with area.container():
            for one in chosen(rows)[:limit]:
                show(one, with_button=False)
        with progress:
            work_out(left, today)
        rows = every_entry(found, broken, today, kept)
    with head.container():
        answer.title(clients_heading(len(found), n_new(rows), len(broken)), note)
    with area.container():
        for text in (kept.remark, not_kept()):
            if text is not None:
                st.warning(esc(text))
        for one in chosen(rows)[:limit]:
            show(one, with_button=True)
        show_rest(rows, limit)


def show_rest(rows: Sequence[Entry], limit: int) -> None:
    """More of them, how far the lines are worked out, and those put away."""
    n_there, n_old = len(chosen(rows)), sum(one.is_looked_at for one in rows)
    n_clients = sum(not isinstance(one.what, BrokenLog) for one in rows)
    st.html("<hr>")
    if not n_there:
        st.markdown("No code holds that.")
    if n_there > limit:
        st.button(f"Show {min(n_there - limit, PAGE)} more", on_click=show_more)
    if left := len(waiting(rows)):
        answer.sentences((how_far(n_clients - left, n_clients),))
    if n_old:
        st.toggle(f"Show those looked at ({n_old})", key=ALL)
    answer.caution()


def show_more() -> None:
    """The next ones as well."""
    st.session_state[LIMIT] = st.session_state.get(LIMIT, PAGE) + PAGE


def tell_reading(bar: DeltaGenerator, n_read: int, n_logs: int) -> None:
    """How many logs are read so far."""
    bar.progress(n_read / n_logs, text=f"Reading the logs: {n_read:,} of {n_logs:,}")


reading = st.empty()
clients = every_client(partial(tell_reading, reading))
broken_logs = unreadable()
reading.empty()
if not clients and not broken_logs:
    answer.nothing_open(str(open_folder()))
    st.page_link(NEW, label="New client")
else:
    show_page(clients, broken_logs)
