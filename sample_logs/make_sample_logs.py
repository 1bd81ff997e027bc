"""Write the sample logs and their README from the stories, or check that they are what is committed.

python sample_logs/make_sample_logs.py            write them anew
python sample_logs/make_sample_logs.py --check    say which files differ, exit 1 if any does
"""

from __future__ import annotations

import argparse
import filecmp
import sys
import tempfile
from pathlib import Path

import numpy as np
import pandas as pd

from analysis.log import write_log
from analysis.schema import TABLES
from analysis.simulated_diary import annotate_sets
from analysis.simulated_log import sets_frame, simulated_log, typed_frame
from analysis.simulated_mornings import days_frame, sessions_frame
from analysis.simulated_sessions import play_sessions
from analysis.simulated_truth import WorldTruth
from analysis.simulated_worlds import session_day
from analysis.training_log import TrainingLog

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

from sample_logs.stories import Story, stories  # noqa: E402  (the checkout has to be on the path first)

LEVEL, CHANCE = 2, 0.2


def made_log(story: Story) -> tuple[TrainingLog, WorldTruth]:
    """The log of a story and what is true of its person."""
    rng = np.random.default_rng(story.seed)
    played = play_sessions(rng, story.person, story.conditions)
    days = story.conditions.days
    plain = sets_frame(played, story.person, client=story.client, first_day=story.first_day, days=days)
    sets = annotate_sets(rng, plain, played, story.person, story.doses, story.habits, days)
    for place, note in story.notes.items():
        sets.loc[sets.index[place], "note"] = note
    log = simulated_log(sets, story.person, client=story.client)
    frames = {name: log.frame(name) for name in TABLES}
    if story.mornings is not None:
        frames["days"] = days_frame(rng, sets, story.person, story.mornings, client=story.client)
        frames["sessions"] = sessions_frame(
            rng, sets, played, usual=story.mornings.usual, client=story.client
        )
    for name, rows in story.rows.items():
        written = pd.DataFrame(list(rows))
        frames[name] = typed_frame(name, {c: list(written[c]) for c in written.columns}, len(written))
    used = set(sets["exercise"])
    frames["variants"] = frames["variants"][frames["variants"]["exercise"].isin(used)].reset_index(drop=True)
    last_day = session_day(story.conditions.n_sessions - 1) if days is None else days[-1]
    return TrainingLog(**frames), WorldTruth(
        person=story.person, last_week=last_day / 7, rounds_scores=story.conditions.rounds_scores
    )


def readme(made: list[tuple[Story, TrainingLog, WorldTruth]]) -> str:
    """What the sample logs are, with seeds and true pain lines."""
    lines = [
        "# Sample logs",
        "",
        "Everything here is invented: people, places, loads and pains, in a small town of hill walkers and stairs.",
        "The logs are played by `analysis.simulate*` from known truths and written by",
        "`python sample_logs/make_sample_logs.py`; `--check` says whether these files are what it makes.",
        "",
        "| folder | what it is | seed | sets | sessions | first to last day |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    for story, log, _ in made:
        days = log.sets["date"]
        lines.append(
            f"| `{story.client}` | {story.about} | {story.seed} | {len(log.sets)} | {days.nunique()} "
            f"| {days.min():%Y-%m-%d} to {days.max():%Y-%m-%d} |"
        )
    lines += [
        "| `broken` | every kind of problem there is, each explained in its own README | | | | |",
        "| `own_columns` | pounds under a coach's own headings, which are refused for now | | | | |",
        "",
        "## True pain lines",
        "",
        f"Load in kg at which {CHANCE * 10:.0f} of 10 sets hurt at {LEVEL} or more in the last week: standard variant, "
        "2 s lowering, full range,",
        "ninth set of the session, prepared or not alike, nothing sore yet that day. A side that is asked but is not "
        "the first one asked has no",
        "line of its own here.",
        "",
    ]
    for story, _, truth in made:
        lines += [
            f"### {story.client}",
            "",
            "| exercise | works | hurts | line, kg |",
            "| --- | --- | --- | --- |",
        ]
        for key in truth.keys:
            line_kg = 2 ** truth.log2_line(key, LEVEL, CHANCE)
            dose = story.doses.get(key.exercise)
            told = "no load" if dose and (dose.band or not dose.loaded) else f"{line_kg:.1f}"
            lines.append(f"| {key.exercise} | {key.works} | {key.side} | {told} |")
        lines.append("")
    return "\n".join(lines)


def write_all(folder: Path) -> None:
    """Write every sample log and the README into a folder."""
    made = [(story, *made_log(story)) for story in stories()]
    for story, log, _ in made:
        write_log(log, folder / story.client, replace=True)
    (folder / "README.md").write_text(readme(made), encoding="utf-8", newline="\n")


def differing_files() -> list[str]:
    """Files that are not what the stories make, missing and left-over ones included."""
    with tempfile.TemporaryDirectory() as name:
        fresh = Path(name)
        write_all(fresh)
        wanted = {path.relative_to(fresh) for path in fresh.rglob("*") if path.is_file()}
        clients = {story.client for story in stories()}
        there = {
            path.relative_to(HERE)
            for client in clients
            for path in (HERE / client).rglob("*")
            if path.is_file()
        }
        same = {
            path
            for path in wanted
            if (HERE / path).is_file() and filecmp.cmp(fresh / path, HERE / path, False)
        }
        return sorted(str(path) for path in (wanted | there) - same)


def main() -> None:
    """Write or check."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--check", action="store_true")
    if not parser.parse_args().check:
        write_all(HERE)
        return
    differing = differing_files()
    for name in differing:
        print(f"sample_logs/{name} is not what make_sample_logs.py makes.")
    sys.exit(bool(differing))


if __name__ == "__main__":
    main()
