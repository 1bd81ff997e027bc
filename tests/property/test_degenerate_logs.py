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
    """One log in ten is put to the questions about one line as well, one in thirty fitted with the usual options."""
    for place in range(A_BATCH):
        seed = first + place
        options = PainOptions() if place == 0 and seed % 30 == 10 else FEW
        try:
            check_degenerate(degenerate_log(seed), options, n_lines=int(place == 1))
        except Exception as error:
            error.add_note(f"python tests/benchmarks/degenerate_logs.py --replay {seed}")
            raise
