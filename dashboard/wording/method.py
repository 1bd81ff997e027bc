"""How an answer was computed, in plain words, for those who unfold it (layer: wording)."""

from __future__ import annotations

from analysis.models.pain_fit import ENGINE, MODEL_VERSION, PainFit
from analysis.results import LineRow, PainLine
from dashboard.wording.numbers import counted, estimate_words, half_up, percent

CAUTION = (
    "Records and estimates, not a diagnosis. Pain at night or at rest, locking, giving way, swelling, numbness or "
    "weakness, or pain that keeps rising: stop and see a clinician. A clinician's limits and "
    "local rules come first."
)
METHOD = (
    "One model is fitted to every asked set of this client. It treats the 0-10 score as steps in order, not as a "
    "measured length, and lets pain depend on the load (a doubling counts the same everywhere), lowering, range, "
    "repetitions, the order in the session and pain already met that day. Exercises, variants, sides, sessions and "
    "weeks each get their own offset, held towards the client's average where little was done. The pain line is the "
    "load at which the chance of pain reaches the count in the heading, on an average of good and bad days."
)
CHOSEN = (
    "Loads are mostly chosen by how the last set felt, so a light load often follows pain and a heavy one follows "
    "quiet sets; the model knows the load and the day, not the reason."
)
BACK_TO_USUAL = (
    "After an unusually bad or good day the next one tends to be nearer the usual whatever was changed; one quiet set "
    "after a painful one proves little."
)
CHART = (
    "In the chart a filled mark is a set that hurt at the level, a hollow one was quiet, and the small number is its "
    "score; squares are left, circles right, diamonds the midline. The shaded box is what was tried in the last 12 "
    "weeks; beyond it the curve is dotted. The line breaks over weeks without sessions."
)
MATCHED = "Where the better side is held back to match the other, its line is only known up to the loads it was given."


def method_paragraphs(fit: PainFit, row: LineRow) -> tuple[str, ...]:
    """Paragraphs of the folded part, most telling first."""
    parts = [
        METHOD,
        CHART,
        (
            f"Model {MODEL_VERSION}; engine: {ENGINE}. {counted(fit.convergence.n_draws, 'draw')},"
            f" {'converged' if fit.convergence.converged else 'not converged'},"
            f" {half_up(fit.convergence.seconds, 1)} s."
        ),
        (
            f"{counted(fit.n_sets, 'set')} of all exercises, {fit.n_asked:,} asked about pain and in the model,"
            f" {counted(fit.n_sessions, 'session')}. {percent(fit.share_of_zeros)} of the scores are 0;"
            f" {percent(fit.unasked_share)} of the sets were not asked."
        ),
    ]
    parts += [interval_words(row.answer)] if isinstance(row.answer, PainLine) else []
    parts += [f"{finding.what} {finding.consequence} {finding.remedy}" for finding in fit.findings]
    parts += [CHOSEN, BACK_TO_USUAL, MATCHED]
    return tuple(parts)


def interval_words(answer: PainLine) -> str:
    """Which interval stands in the heading, and the wider one."""
    named = f"Intervals in the text and the chart are {half_up(answer.confidence_level * 100)} % intervals."
    unit = answer.tried.unit
    if answer.status == "reached" and answer.load_kg is not None:
        wider = estimate_words(answer.load_kg, answer.low95_kg, answer.high95_kg, unit)
        return f"{named} With 95 % the line is at {wider}."
    return named


TRACE = (
    "Computed by analysis.questions.pain_line.pain_line on analysis.models.pain_model.fit_pain_model; "
    "the sentence by dashboard.wording.pain_line.pain_line_heading. Held against reference values in "
    "tests/reference and against known truth in tests/simulation."
)
