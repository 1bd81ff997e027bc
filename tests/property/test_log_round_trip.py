"""Any sound log survives writing and reading; any bytes at all are read or refused, never worse (layer: tests)."""

from __future__ import annotations

import datetime as dt
import tempfile
from pathlib import Path

import pandas as pd
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from analysis.errors import LogError
from analysis.log import check_log, log_fingerprint, log_from_frames, read_log, write_log
from analysis.results import Problem
from analysis.schema import TABLES, Column
from analysis.training_log import TrainingLog

QUICK = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])

DAYS = st.dates(dt.date(1980, 1, 1), dt.date(2099, 12, 31))
PRINTABLE = st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"])
TEMPOS = st.builds(
    "{}-{}-{}-{}".format, *(st.integers(0, 99),) * 2, st.integers(0, 99) | st.just("X"), st.integers(0, 9)
)


def cells(column: Column) -> st.SearchStrategy[object]:
    """Sound values of a column, blanks included where they may be."""
    match column.kind:
        case "code":
            values = st.from_regex(
                column.pattern or "", fullmatch=True, alphabet=st.characters(codec="ascii")
            )
        case "text":
            values = st.text(PRINTABLE, min_size=1, max_size=20).filter(lambda text: text.strip() != "")
        case "note":
            values = st.text(PRINTABLE | st.sampled_from('\n\r\t",;='), max_size=40)
        case "date":
            values = DAYS.map(pd.Timestamp)
        case "whole":
            values = st.integers(int(column.low or 0), int(column.high or 0))
        case "number":
            values = st.floats(column.low, column.high, allow_subnormal=False)
        case "yes_no":
            values = st.booleans()
        case "choice":
            values = st.sampled_from(column.choices)
        case "tempo":
            values = TEMPOS
    return values if column.required else st.none() | values


@st.composite
def table_rows(draw: st.DrawFn, name: str, *, min_rows: int = 0) -> pd.DataFrame:
    """Rows of one table that keep its rules by themselves."""
    table = TABLES[name]
    rows = draw(
        st.lists(
            st.fixed_dictionaries({c.name: cells(c) for c in table.columns}), min_size=min_rows, max_size=4
        )
    )
    for number, row in enumerate(rows, start=1):
        if name == "sets":  # one basis for everything, and a number of its own for every set
            basis = None if row["load_basis"] == "band" else "bodyweight"
            row |= {"set": number, "reps": number, "load_basis": basis}
            if basis is None and row["load"] is not None:
                row["load"] = abs(row["load"])
        if "order" in row:
            row["order"] = number
        for key in ("site", "task", "variant", "range_stop"):
            if key in table.key:
                row[key] = f"{key} {number}"
        if table.key in (("client",), ("exercise",), ("client", "date", "session")):
            row[table.key[0]] = f"N-{number}"
        if name == "sites":
            row["main"] = None
        if name == "limits":
            row["until"] = None
    frame = pd.DataFrame(rows, columns=list(table.column_names), dtype="object")
    return frame


@st.composite
def logs(draw: st.DrawFn) -> TrainingLog:
    """Sound logs with sets and some of the other files."""
    others = draw(st.sets(st.sampled_from(["sites", "sessions", "days", "tasks", "events", "exercises"])))
    more = draw(st.sets(st.sampled_from(["variants", "ranges", "limits"])))
    frames = {name: draw(table_rows(name)) for name in sorted(others | more)}
    if "sites" in frames and "days" in frames:
        # Without their site two days may be the same day.
        frames["days"] = (
            frames["days"].assign(site=None).drop_duplicates(["client", "date"], ignore_index=True)
        )
    return log_from_frames(sets=draw(table_rows("sets", min_rows=1)), **frames)


@QUICK
@given(logs())
def test_a_log_reads_back_as_it_was_written(log: TrainingLog) -> None:
    with tempfile.TemporaryDirectory() as folder:
        once, twice = Path(folder) / "once", Path(folder) / "twice"
        write_log(log, once)
        back = read_log(once)
        assert log_fingerprint(back) == log_fingerprint(log)
        write_log(back, twice)
        assert {p.name: p.read_bytes() for p in once.iterdir()} == {
            p.name: p.read_bytes() for p in twice.iterdir()
        }


@QUICK
@given(logs(), st.randoms(use_true_random=False))
def test_the_order_of_rows_does_not_change_what_is_written(log: TrainingLog, random) -> None:
    turned = {}
    for name in TABLES:
        frame = log.frame(name)
        if len(frame):
            lines = list(range(len(frame)))
            random.shuffle(lines)
            turned[name] = frame.iloc[lines].reset_index(drop=True)
    other = log_from_frames(**turned)
    assert log_fingerprint(other) == log_fingerprint(log)
    with tempfile.TemporaryDirectory() as folder:
        once, twice = Path(folder) / "once", Path(folder) / "twice"
        write_log(log, once)
        write_log(other, twice)
        assert {p.name: p.read_bytes() for p in once.iterdir()} == {
            p.name: p.read_bytes() for p in twice.iterdir()
        }


def problems_when_read(path: Path) -> tuple[Problem, ...]:
    """Problems that reading raises; none when it succeeds."""
    try:
        read_log(path)
    except LogError as refused:
        return refused.problems
    return ()


@QUICK
@given(
    st.binary(max_size=200)
    | st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace"))
    | st.lists(st.text(alphabet='Kkg,;\t"\n\r0123456789.-/ ü\x00', max_size=40), max_size=6).map(
        lambda lines: ("client,date,set,exercise,side,load,reps\n" + "\n".join(lines)).encode()
    )
)
def test_any_bytes_are_read_or_refused_with_a_place(content: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sets.csv"
        path.write_bytes(content)
        found = check_log(path, today=dt.date(2026, 4, 1))
        for problem in found.problems:
            assert problem.file == "sets.csv"
            assert problem.what
            assert problem.mend
        assert problems_when_read(path) == found.problems
