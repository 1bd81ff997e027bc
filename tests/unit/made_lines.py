"""Hand-made results for the tests of sentences and charts: one small invented client for each kind of answer."""

from __future__ import annotations

import datetime as dt
import math

from analysis.questions.sets_of_line import SeenSet
from analysis.results import (
    ChanceAtLoad,
    ConditionChance,
    LineKey,
    LineRow,
    LineStatus,
    LineWeek,
    PainLine,
    Setting,
    Tried,
    TriedLoad,
    Withheld,
)

AS_OF = dt.date(2026, 9, 28)
STEP_DOWN = LineKey(exercise="step-down", variant="standard", side="left", works="left")
USUAL = Setting(lowering_s=3.0, rom_pct=90.0, reps=8.0, place=6.0, set_number=2.0)
SEEN = ((8.0, 6, 0), (10.0, 9, 0), (12.0, 8, 0), (14.0, 3, 2), (16.0, 2, 2))


def tried(
    loads: tuple[tuple[float, int, int], ...] = SEEN,
    *,
    unit: str = "kg",
    basis: str = "per hand",
    step_kg: float | None = 2.0,
) -> Tried:
    """What was tried: (load in kg, asked, painful) for each load."""
    asked, painful = sum(one[1] for one in loads), sum(one[2] for one in loads)
    return Tried(
        n_sets=asked + 1,
        n_asked=asked,
        n_painful=painful,
        n_sessions=max(1, asked // 2),
        lightest_kg=loads[0][0] if loads else None,
        heaviest_kg=loads[-1][0] if loads else None,
        last_load_kg=loads[-1][0] if loads else None,
        last_date=AS_OF,
        loads=tuple(TriedLoad(load_kg=load, n_asked=n, n_painful=hurt) for load, n, hurt in loads),
        load_step_kg=step_kg,
        unit=unit,
        load_basis=basis,
    )


def line(
    status: LineStatus = "reached",
    *,
    seen: Tried | None = None,
    load_kg: float | None = 14.2,
    low_kg: float | None = 12.9,
    high_kg: float | None = 15.8,
    key: LineKey = STEP_DOWN,
    chance: float = 0.2,
    conditions: tuple[ConditionChance, ...] = (),
) -> LineRow:
    """A row whose answer is a pain line of the status asked for."""
    seen = seen or tried()
    answer = PainLine(
        key=key,
        chance=chance,
        level=2,
        status=status,
        load_kg=load_kg,
        low_kg=low_kg,
        high_kg=high_kg,
        confidence_level=0.8,
        low95_kg=None if low_kg is None else low_kg * 0.94,
        high95_kg=None if high_kg is None else high_kg * 1.08,
        last=ChanceAtLoad(load_kg=12.0, chance=0.11, low=0.05, high=0.2),
        one_step_up=ChanceAtLoad(load_kg=14.0, chance=0.19, low=0.1, high=0.33),
        probability_above_heaviest=0.03,
        at=USUAL,
        conditions=conditions,
        tried=seen,
        reason=None,
        remedy=None,
    )
    return LineRow(key=key, chance=chance, tried=seen, answer=answer)


def withheld(seen: Tried | None = None) -> LineRow:
    """A row whose answer has to wait."""
    seen = seen or tried(((10.0, 2, 0),))
    return LineRow(
        key=STEP_DOWN,
        chance=0.2,
        tried=seen,
        answer=Withheld(
            reason="2 sets were asked, all at one load; a line needs 6 asked sets at two loads.",
            remedy="Two sets at a second load would tell.",
        ),
    )


def sets(loads: tuple[tuple[float, int, int], ...] = SEEN, *, every_days: int = 3) -> tuple[SeenSet, ...]:
    """Sets over the last weeks: two a day, the heavier the later."""
    every = [(load, order < hurt) for load, n, hurt in loads for order in range(n)]
    days = math.ceil(len(every) / 2)
    return tuple(
        SeenSet(
            day=AS_OF - dt.timedelta(days=every_days * (days - 1 - index // 2)),
            load_kg=load,
            pain=3 if hurt else index % 2,
            at_least=False,
            hurt=hurt,
            reps=8,
            painkiller=False,
            source_row=index + 2,
        )
        for index, (load, hurt) in enumerate(every)
    )


def weeks(n_weeks: int = 6, *, line_kg: float = 14.2) -> tuple[LineWeek, ...]:
    """A line that rose slowly to where it stands."""
    return tuple(
        LineWeek(
            week=AS_OF - dt.timedelta(days=7 * back),
            day=AS_OF - dt.timedelta(days=7 * back - 3 if back else 0),
            load_kg=line_kg - 0.4 * back,
            low_kg=line_kg - 0.4 * back - 1.3,
            high_kg=line_kg - 0.4 * back + 1.6,
        )
        for back in range(n_weeks - 1, -1, -1)
    )


def curve(line_kg: float = 14.2, *, low_kg: float = 4.0, high_kg: float = 22.0) -> tuple[ChanceAtLoad, ...]:
    """A logistic curve that passes 2 of 10 at the line."""
    points = []
    for index in range(49):
        load = low_kg + (high_kg - low_kg) * index / 48
        logit = 5.0 * math.log2(load / line_kg) + math.log(0.2 / 0.8)
        points.append(
            ChanceAtLoad(
                load_kg=load, chance=_logistic(logit), low=_logistic(logit - 0.7), high=_logistic(logit + 0.8)
            )
        )
    return tuple(points)


def _logistic(value: float) -> float:
    return 1 / (1 + math.exp(-value))
