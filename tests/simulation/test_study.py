"""The study's command, run small: 6 clients of 3 worlds through the functions that the published table comes from."""

from __future__ import annotations

import gzip
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from tests.simulation import study, study_client
from tests.simulation.study import run_study, scores_path, write_tables
from tests.simulation.study_client import ClientScores, Job, score_client
from tests.simulation.study_journal import append_scores, finished_jobs, read_scores
from tests.simulation.study_sheets import SHEETS

WORLDS = ("W1", "offsets_logit", "zeros_most_missing")
SEEDS = range(1, 7)
N_DRAWS = 160


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("study") / "small.csv"
    run_study(worlds=WORLDS, seeds=SEEDS, n_draws=N_DRAWS, workers=1, out=out)
    return out


@pytest.fixture(scope="module")
def scores(out: Path) -> dict[str, pd.DataFrame]:
    return read_scores(scores_path(out))


def test_every_client_is_scored_without_a_failure(scores: dict[str, pd.DataFrame]) -> None:
    clients = scores["clients"]
    assert list(zip(clients["world"], clients["seed"], strict=True)) == [
        (w, s) for w in WORLDS for s in SEEDS
    ]
    assert clients["failure"].isna().all()


def test_every_exercise_and_side_counts_at_both_settings_and_chances(scores: dict[str, pd.DataFrame]) -> None:
    lines = scores["lines"]
    base = lines[(lines["kind"] == "base") & (lines["status"] != "withheld: never asked")]
    missing = lines["status"] == "withheld: never asked"
    cells = base.groupby(["world", "setting", "chance"]).size()
    assert len(cells) == len(WORLDS) * 4
    for world in ("W1", "offsets_logit"):
        assert (cells[world] == 10 * len(SEEDS)).all()
    unasked = lines[missing].groupby("world").size() // 4
    assert (cells["zeros_most_missing"] == 10 * len(SEEDS) - unasked.get("zeros_most_missing", 0)).all()
    assert lines.loc[~missing, ["q025", "q10", "q50", "q90", "q975", "truth"]].notna().all(axis=None)
    assert {"reached", "lower_only"} <= set(lines["status"])
    assert lines["status"].str.startswith("withheld: ").any()


def test_scores_are_of_one_kind_each(scores: dict[str, pd.DataFrame]) -> None:
    chances, forecasts, proposals = (scores[name] for name in ("chances", "forecasts", "proposals"))
    for column in ("q025", "q50", "q975", "mean", "truth"):
        assert chances[column].between(0, 1).all()
    assert set(forecasts["hurt"]) == {0.0, 1.0}
    assert (
        forecasts[["model", "client_rate", "side_rate", "truth"]]
        .apply(lambda c: c.between(0, 1))
        .all(axis=None)
    )
    assert (forecasts.groupby(["world", "seed"]).size() <= 7).all()
    assert proposals.groupby(["world", "seed", "exercise", "side"])["rule"].nunique().eq(5).all()


def test_the_table_names_its_run(out: Path) -> None:
    table, text = pd.read_csv(out), out.with_suffix(".md").read_text(encoding="utf-8")
    fits = table[table["table"] == "fits"]
    assert list(fits["world"]) == list(WORLDS)
    assert set(fits["first_seed"]) == {1}
    assert set(fits["last_seed"]) == {6}
    assert set(table["n_draws"]) == {N_DRAWS}
    for sheet in SHEETS:
        assert f"## {sheet.title}" in text


def test_tables_are_made_again_from_the_scores_alone(out: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.csv"
    scores_path(copy).write_bytes(scores_path(out).read_bytes())
    write_tables(copy)
    assert copy.read_text(encoding="utf-8") == out.read_text(encoding="utf-8")
    assert copy.with_suffix(".md").read_text("utf-8") == out.with_suffix(".md").read_text("utf-8")


def test_a_stopped_study_goes_on(out: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Cut off in the middle of the last client, only that one is run again, with the same result."""
    copy = tmp_path / "stopped.csv"
    whole = scores_path(out).read_bytes()
    scores_path(copy).write_bytes(whole[:-200])
    ran: list[tuple[str, int]] = []

    def noted(job: Job) -> ClientScores:
        ran.append((job.world, job.seed))
        return score_client(job)

    monkeypatch.setattr(study, "score_client", noted)
    run_study(worlds=WORLDS, seeds=SEEDS, n_draws=N_DRAWS, workers=1, out=copy)
    assert ran == [(WORLDS[-1], SEEDS[-1])]
    before, after = read_scores(scores_path(out)), read_scores(scores_path(copy))
    for name in ("lines", "chances", "forecasts", "proposals"):
        pd.testing.assert_frame_equal(before[name], after[name])


def test_two_processes_find_what_one_does(scores: dict[str, pd.DataFrame], tmp_path: Path) -> None:
    out = tmp_path / "pool.csv"
    run_study(worlds=["W1"], seeds=[2, 1], n_draws=N_DRAWS, workers=2, out=out)
    by_pool = read_scores(scores_path(out))
    for name in ("lines", "forecasts"):
        one, two = (
            frame[frame["world"].eq("W1") & frame["seed"].le(2)] for frame in (scores[name], by_pool[name])
        )
        two = two.sort_values("seed", kind="stable")
        pd.testing.assert_frame_equal(one.reset_index(drop=True), two.reset_index(drop=True), rtol=1e-6)


def test_scores_of_another_kind_of_fit_are_not_mixed_in(out: Path) -> None:
    with pytest.raises(SystemExit, match=f"with {N_DRAWS} draws"):
        run_study(worlds=WORLDS, seeds=SEEDS, n_draws=N_DRAWS + 32, workers=1, out=out)


def test_a_failed_fit_is_counted_and_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "failing.csv"
    real = study_client.fit_pain_model

    def failing(log, **options):  # type: ignore[no-untyped-def]
        if len(log.sets) and log.sets["client"].iloc[0] and next(calls) == 1:
            raise np.linalg.LinAlgError("not positive definite")
        return real(log, **options)

    calls = iter(range(10))
    monkeypatch.setattr(study_client, "fit_pain_model", failing)
    table = run_study(worlds=["W1"], seeds=[1, 2], n_draws=N_DRAWS, workers=1, out=out)
    fits = table[table["table"] == "fits"].iloc[0]
    assert (fits["clients"], fits["failures"]) == (2, 1)
    assert "W1, seed 2: LinAlgError: not positive definite" in out.with_suffix(".md").read_text("utf-8")
    assert set(read_scores(scores_path(out))["lines"]["seed"]) == {1}


def test_a_line_of_the_file_is_a_client(tmp_path: Path) -> None:
    path = tmp_path / "two.scores.jsonl.gz"
    job = Job(world="W1", seed=1, n_draws=N_DRAWS)
    rows = {
        "lines": [
            {"truth": 1.23456789, "status": "reached"},
            {"truth": np.float64("nan"), "n_asked": np.int64(3)},
        ]
    }
    append_scores(path, ClientScores(job=job, fit={"converged": np.True_}, rows=rows))
    append_scores(path, ClientScores(job=Job(world="W1", seed=2, n_draws=N_DRAWS), failure="no"))
    assert len(gzip.decompress(path.read_bytes()).splitlines()) == 2
    assert finished_jobs(path) == {job, Job(world="W1", seed=2, n_draws=N_DRAWS)}
    lines = read_scores(path)["lines"]
    assert lines["truth"].iloc[0] == pytest.approx(1.23456789, rel=1e-6)
    assert np.isnan(lines["truth"].iloc[1])
    assert lines["n_asked"].iloc[1] == 3
