"""300 random tiny and degenerate logs: every line is answered, or withheld by a rule; 10,000 by command.

python tests/benchmarks/degenerate_logs.py --logs 10000
"""

from __future__ import annotations

import pytest

from analysis.models.pain_fit import PainOptions
from tests.property.degenerate import degenerate_log
from tests.property.degenerate_checks import check_degenerate

FIRST_SEED, N_LOGS, A_BATCH = 1_000_000, 300, 10
FEW = PainOptions(n_draws=128)


@pytest.mark.parametrize("first", range(FIRST_SEED, FIRST_SEED + N_LOGS, A_BATCH))
def test_every_question_is_answered_or_withheld_by_a_rule(first: int) -> None:
    """Four logs are fitted with the usual options, one in thirty is put to the questions about one line as well."""
    for place in range(A_BATCH):
        seed = first + place
        options = PainOptions() if seed % 75 == 0 else FEW
        n_lines, n_clients = int(seed % 30 == 1), 2 if place == 2 else 1
        try:
            check_degenerate(degenerate_log(seed), options, n_lines=n_lines, n_clients=n_clients)
        except Exception as error:
            error.add_note(f"python tests/benchmarks/degenerate_logs.py --replay {seed}")
            raise


OVER_A_CENTURY = 402
"""Seed of a log with years between sessions: a straight trend over all of it left the bounds of the numerics."""


def test_a_log_over_a_century_is_answered() -> None:
    check_degenerate(degenerate_log(OVER_A_CENTURY), FEW, n_lines=1)
