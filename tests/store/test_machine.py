"""SQLite and PostgreSQL do the same as a model in memory, whatever is saved, undone, brought in and taken out."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test
from sqlalchemy import make_url, text

from analysis.errors import LogError, OptionError
from analysis.log import log_fingerprint, read_log
from dashboard.store.changes import Done
from dashboard.store.engine import Store, connect
from dashboard.store.export import export_logs
from dashboard.store.history import history, redo, undo
from dashboard.store.import_plan import plan_import
from dashboard.store.imports import Unconfirmed, carry_out_import
from dashboard.store.records import Edit, save
from dashboard.store.refusals import Conflict
from dashboard.store.rows import canonical_rows, rows_by_id
from dashboard.store.schema_version import open_store
from tests.store.conftest import EMPTY
from tests.store.entries import OWNER, contents, new_id
from tests.store.model import LOG_OF, At, Cells, Model, read
from tests.store.servers import HOW_TO_GET_ONE, Server, server_programs

EXAMPLES, STEPS = int(os.environ.get("EBBLINE_MACHINE_EXAMPLES", "4")), 12

clients = st.sampled_from(sorted(LOG_OF))
dates = st.sampled_from(["2026-03-02", "2026-03-04"])
numbers = st.integers(1, 3).map(str)
scores = st.sampled_from(["", "0", "3"])
ROWS: dict[str, st.SearchStrategy[dict[str, str]]] = {
    "sets": st.fixed_dictionaries(
        {
            "client": clients,
            "date": dates,
            "set": numbers,
            "exercise": st.sampled_from(["step-down", "step-up"]),
            "side": st.sampled_from(["left", "both"]),
            "load": st.sampled_from(["", "12", "12.5"]),
            "load_basis": st.sampled_from(["total", "total", "total", "per hand"]),
            "reps": st.just("8"),
            "pain_left": scores,
            "note": st.sampled_from(["", "", 'ü "two"\nlines', "=1+1"]),
        }
    ),
    "days": st.fixed_dictionaries(
        {"client": clients, "date": dates, "site": st.sampled_from(["", "hip"]), "pain_morning": scores}
    ),
    "sites": st.fixed_dictionaries(
        {
            "client": clients,
            "site": st.sampled_from(["hip", "knee"]),
            "region": st.just("hip"),
            "main": st.just("yes"),
        }
    ),
    "pains": st.fixed_dictionaries(
        {
            "client": clients,
            "date": dates,
            "set": numbers,
            "site": st.sampled_from(["hip", "knee"]),
            "side": st.just("left"),
            "pain": st.just("2"),
        }
    ),
    "clients": st.fixed_dictionaries({"client": clients, "unit": st.sampled_from(["kg", "lb"])}),
    "events": st.fixed_dictionaries({"client": clients, "date": dates, "event": st.just("flare")}),
    "variants": st.fixed_dictionaries(
        {"exercise": st.just("step-down"), "order": numbers, "variant": st.sampled_from(["low", "high"])}
    ),
}
rows = st.sampled_from([*["sets"] * 4, *ROWS]).flatmap(lambda name: st.tuples(st.just(name), ROWS[name]))


class Machine(RuleBasedStateMachine):
    """Does every step in each store and in the model."""

    def __init__(self, opened: Callable[[], list[Store]], folder: Path) -> None:
        super().__init__()
        self.stores, self.model, self.folder = opened(), Model(), folder
        self.last: tuple[list[Edit], str] | None = None

    def teardown(self) -> None:
        for store in self.stores:
            store.close()

    @initialize()
    def every_client_has_a_log(self) -> None:
        edits = [
            Edit(
                table="sets",
                id=new_id(),
                cells=_cells(
                    "sets",
                    {
                        "client": client,
                        "date": "2026-03-01",
                        "set": "1",
                        "exercise": "step-up",
                        "side": "both",
                        "reps": "8",
                    },
                ),
                log=log,
            )
            for client, log in LOG_OF.items()
        ]
        self.saved(edits, {("sets", edit.id): edit.cells for edit in edits})

    @rule(entered=st.lists(rows, min_size=1, max_size=3), log=st.sampled_from(["hill", "mill"]))
    def add(self, entered: list[tuple[str, dict[str, str]]], log: str) -> None:
        edits, wanted = [], dict(self.model.rows)
        for name, written in entered:
            at, cells = (name, new_id()), _cells(name, written)
            edits.append(Edit(table=name, id=at[1], cells=cells, log="" if "client" in cells else log))
            self.model.logs[at] = log
            wanted[at] = cells
        self.saved(edits, wanted)

    @rule(data=st.data(), is_late=st.sampled_from([False, False, True]))
    def edit(self, data: st.DataObject, is_late: bool) -> None:
        mine = sorted(at for at in self.model.rows if not at[1].startswith("imported"))
        if not mine:
            return
        at = data.draw(st.sampled_from(mine))
        cells = {**self.model.rows[at], **_cells(at[0], data.draw(ROWS[at[0]]))}
        if "client" in cells:
            cells["client"] = self.model.rows[at]["client"]
        self.saved([at], self.model.rows | {at: cells}, is_late=is_late and cells != self.model.rows[at])

    @rule(data=st.data(), is_late=st.sampled_from([False, False, True]))
    def delete(self, data: st.DataObject, is_late: bool) -> None:
        mine = sorted(at for at in self.model.rows if not at[1].startswith("imported"))
        if mine:
            gone = set(data.draw(st.lists(st.sampled_from(mine), min_size=1, max_size=2)))
            left = {at: cells for at, cells in self.model.rows.items() if at not in gone}
            self.saved(sorted(gone), left, is_late=is_late)

    @rule()
    def save_again(self) -> None:
        if self.last is not None:
            edits, change_id = self.last
            before = [history(store, OWNER) for store in self.stores]
            assert all(save(store, OWNER, edits, change_id=change_id).repeated for store in self.stores)
            assert before == [history(store, OWNER) for store in self.stores]

    @rule()
    def undo(self) -> None:
        self.walked(undo, self.model.undo())

    @rule()
    def redo(self) -> None:
        self.walked(redo, self.model.redo())

    @rule(
        name=st.sampled_from(["hill", "mill"]),
        brought=st.lists(rows, min_size=1, max_size=4),
        on_changed=st.sampled_from(["ask", "take", "keep"]),
    )
    def bring_in(self, name: str, brought: list[tuple[str, dict[str, str]]], on_changed: str) -> None:
        cells = [(table, _cells(table, written)) for table, written in brought]
        cells = [(table, row) for table, row in cells if LOG_OF.get(row.get("client", ""), name) == name]
        if not any("client" in row for _, row in cells):
            return  # a log without clients goes by its name, and these do not keep one
        try:
            log = read({(table, str(i)): row for i, (table, row) in enumerate(cells)})
        except LogError:
            return
        wanted, n_changed = self.model.merged(name, log, take=on_changed != "keep")
        is_sound = self.model.is_sound(wanted)
        for store in self.stores:
            plan = plan_import(store, OWNER, [(name, log)], on_changed=on_changed)  # type: ignore[arg-type]
            assert len(plan.changed) == n_changed
            try:
                carry_out_import(store, OWNER, plan, change_id=new_id())
                outcome = "done"
            except LogError:
                outcome = "refused"
            except Unconfirmed:
                outcome = "asked"
            asked = n_changed and on_changed == "ask"
            assert outcome == ("refused" if not is_sound else "asked" if asked else "done")
        if is_sound and not asked:
            self.model.change_to(wanted)

    @rule()
    def take_out(self) -> None:
        there = sorted({row[0] for row in self.model.contents()})
        for store in self.stores:
            out = Path(tempfile.mkdtemp(dir=self.folder)) / "out"
            if not there:
                with pytest.raises(OptionError):
                    export_logs(store, OWNER, out)
                continue
            written = export_logs(store, OWNER, out)
            assert [log_fingerprint(read_log(path)) for path in written] == [
                log_fingerprint(self.model.log(name)) for name in there
            ]

    @invariant()
    def all_hold_the_same(self) -> None:
        expected = self.model.contents()
        for store in self.stores:
            assert contents(store) == expected
        told = [
            [(one.action, one.n_rows, one.undone) for one in history(store, OWNER)] for store in self.stores
        ]
        assert all(one == told[0] for one in told)

    def saved(self, edits: list[Edit] | list[At], wanted: dict[At, Cells], *, is_late: bool = False) -> None:
        """Save in every store what the model is to hold then, or see each refuse it in the same way."""
        change_id, outcomes = new_id(), []
        for store in self.stores:
            own = [
                edit if isinstance(edit, Edit) else self.edit_of(store, edit, wanted, is_late)
                for edit in edits
            ]
            try:
                done: Done | None = save(store, OWNER, own, change_id=change_id)
                outcomes.append("done")
            except (Conflict, LogError) as refused:
                done = None
                outcomes.append(type(refused).__name__)
        assert len(set(outcomes)) == 1, outcomes
        if is_late:
            assert outcomes[0] == "Conflict"
        else:
            assert (done is not None) == self.model.is_sound(wanted), (outcomes, edits)
        if done is not None:
            self.model.change_to(wanted)
            if len(self.stores) == 1 or isinstance(edits[0], Edit):
                self.last = own, change_id

    def edit_of(self, store: Store, at: At, wanted: dict[At, Cells], is_late: bool) -> Edit:
        """Edit of a row with the revision this store has, or with one that never was."""
        with store.read() as connection:
            seen = rows_by_id(connection, OWNER, at[0], [at[1]])[at[1]].revision
        return Edit(table=at[0], id=at[1], cells=wanted.get(at), seen=seen + 1_000_000 if is_late else seen)

    def walked(self, walk: Callable[..., Done], can: bool) -> None:
        """Undo or redo in every store."""
        for store in self.stores:
            try:
                walk(store, OWNER, change_id=new_id())
                assert can
            except OptionError:
                assert not can


def _cells(name: str, written: dict[str, str]) -> Cells:
    (cells,), problems = canonical_rows(name, [written])
    assert problems == []
    return cells


def test_both_databases_agree_with_a_model(request: pytest.FixtureRequest, quick_folder: Path) -> None:
    server: Server | None = request.getfixturevalue("server") if server_programs() else None

    def opened() -> list[Store]:
        path = Path(tempfile.mkdtemp(dir=quick_folder)) / "store.sqlite"
        shutil.copy(quick_folder / "migrated.sqlite", path)
        stores = [open_store(str(path))]
        if server is not None:
            stores.append(connect(make_url(server.url("migrated"))))
            with stores[1].write() as connection:
                connection.execute(text(EMPTY))
        return stores

    run_state_machine_as_test(
        lambda: Machine(opened, quick_folder),
        settings=settings(
            max_examples=EXAMPLES,
            stateful_step_count=STEPS,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
    if server is None:
        pytest.skip(f"SQLite agrees with the model; PostgreSQL was not tried. {HOW_TO_GET_ONE}")
