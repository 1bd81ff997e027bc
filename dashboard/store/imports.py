"""Brings logs into the store, all of it or nothing, and twice no more than once (layer: store)."""

from __future__ import annotations

from collections.abc import Sequence

from dashboard.store.changes import Change, Done, carry_out, done_before, line_up
from dashboard.store.engine import Store
from dashboard.store.import_plan import ImportPlan
from dashboard.store.refusals import StoreError
from dashboard.store.rows import Progress, refuse
from dashboard.store.rules import RowChange

LABEL_LENGTH = 200


class Unconfirmed(StoreError):
    """Rows are stored otherwise, and nobody said which to keep; nothing was written.

    Parameters
    ----------
    changed : sequence of RowChange
        Each row as it is stored and as the file has it.
    """

    def __init__(self, changed: Sequence[RowChange]) -> None:
        self.changed = tuple(changed)
        rows = "1 row is" if len(self.changed) == 1 else f"{len(self.changed)} rows are"
        super().__init__(
            f"{rows} stored otherwise; nothing was added. Say whether to take these or keep those."
        )


class Outdated(StoreError):
    """The store was written to since the plan was made; make it again."""

    def __init__(self) -> None:
        super().__init__("Something was saved meanwhile; nothing was added. Look again, then add it.")


def carry_out_import(
    store: Store,
    owner: str,
    plan: ImportPlan,
    *,
    change_id: str,
    made_by: str = "",
    progress: Progress | None = None,
) -> Done | None:
    """Do what was planned, in one transaction; `history.undo` takes it back.

    Parameters
    ----------
    store : Store
    owner : str
    plan : ImportPlan
        From `import_plan.plan_import`.
    change_id : str
        Made once for this import, so that asking again does nothing.
    made_by : str, default ""
    progress : callable, optional
        Told rows done and rows in all; raising from it cancels.

    Returns
    -------
    Done or None
        None when there is nothing to add.

    Raises
    ------
    LogError
        With the problems of the plan.
    Unconfirmed
        If rows would change and the plan is to ask.
    Outdated
        If something was saved since the plan was made.
    """
    refuse(plan.problems)
    if plan.changed and plan.on_changed == "ask":
        raise Unconfirmed(plan.changed)
    rows = [*plan.new, *(plan.changed if plan.on_changed == "take" else ())]
    change = Change(
        change_id=change_id,
        digest=plan.digest,
        action="import",
        label=", ".join(plan.names)[:LABEL_LENGTH],
        made_by=made_by,
    )
    with store.write() as connection:
        revision = line_up(connection, owner)
        if (before := done_before(connection, owner, change)) is not None:
            return before
        if revision != plan.base:
            raise Outdated
        if not rows:
            return None
        return carry_out(
            connection, owner, change, rows, new_homes=plan.homes, checked=True, progress=progress
        )
