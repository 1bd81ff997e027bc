"""The kinds of problems and remarks there are, and the one way to make each (layer: log)."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from analysis.results import Problem, Remark

PROBLEM_CODES: Mapping[str, str] = MappingProxyType(
    {
        "missing_sets_file": "There is no sets.csv, or no sheet called sets.",
        "not_a_workbook": "A file ending in .xlsx is not a workbook that can be opened.",
        "formula_without_value": "A cell holds a formula whose value was never saved.",
        "empty_file": "The file has no headings.",
        "not_utf8": "The file is not encoded as UTF-8.",
        "nul_bytes": "The file holds bytes that no table has.",
        "broken_quotes": "A quoted cell is not closed, or goes on after its closing quote.",
        "own_headings": "The headings are the user's own, to be matched to the log's columns first.",
        "unknown_column": "A heading is not a column of this file.",
        "duplicate_column": "A heading occurs twice.",
        "missing_column": "A column that has to be there is missing.",
        "unheaded_column": "Cells are filled in a column without heading.",
        "row_too_long": "A row has more cells than there are headings.",
        "row_too_short": "A row has fewer cells than there are headings.",
        "blank_required": "A cell that has to be filled is blank.",
        "no_reps_or_hold": "A set has neither repetitions nor seconds held.",
        "not_a_code": "A code has characters or a length that codes do not have.",
        "text_too_long": "A text is longer than allowed.",
        "control_character": "A text holds a character that cannot be shown.",
        "not_a_date": "A date cannot be read.",
        "ambiguous_date": "A date could be read day first or month first.",
        "not_a_number": "A number cannot be read.",
        "not_whole": "A number has decimals where whole numbers are meant.",
        "out_of_range": "A number lies outside its range.",
        "not_yes_no": "A cell is neither yes nor no.",
        "not_a_choice": "A word is not on the column's list.",
        "not_a_tempo": "A tempo is not four durations.",
        "duplicate_set": "Two sets of a session have the same number.",
        "duplicate_row": "Two rows are about the same thing.",
        "duplicate_order": "Two rows of an exercise have the same place in the order.",
        "mixed_load_bases": "Loads of one exercise and variant are counted in different ways.",
        "negative_load": "A load is below 0 where nothing assisted bodyweight.",
        "band_without_name": "A set with a band does not name the band.",
        "band_with_load": "A set with a band gives a load as well.",
        "unknown_client": "A client is not listed in clients.csv.",
        "unknown_set": "A row is about a set that is not in sets.csv.",
        "unknown_site": "A row is about a place that is not in sites.csv.",
        "two_main_sites": "A client has more than one main place.",
        "dates_reversed": "A limit ends before it begins.",
    }
)

REMARK_CODES: Mapping[str, str] = MappingProxyType(
    {
        "file_not_read": "A file or sheet is not part of a log and was not read.",
        "no_sets": "There are headings but no sets yet.",
        "load_jump": "A load is three times what is usual for this exercise, or more.",
        "basis_changed": "Loads of one exercise are counted differently from variant to variant.",
        "pain_copied": "The same score above 0 stands in many sets on end.",
        "tempo_doubtful": "A repetition of this tempo would take no time, or more than a minute.",
        "future_date": "A date lies in the future.",
        "lone_date": "A date lies more than a year away from every other set of the client.",
        "effort_disagrees": "RPE and RIR of one set do not fit together.",
        "stopped_without_pain": "A set stopped for pain has a pain of 0.",
        "spelling_differs": "Two names differ in capitals, spaces or dashes only.",
        "stop_without_order": "A range stop is missing from the order of this exercise.",
        "variant_without_order": "A variant is missing from the order of this exercise.",
        "client_not_listed": "A client has sets but no row in clients.csv.",
        "no_main_site": "A client has several places and none is marked as the main one.",
    }
)


def problem(
    code: str,
    file: str,
    what: str,
    mend: str,
    *,
    row: int | None = None,
    column: str | None = None,
    value: str | None = None,
) -> Problem:
    """Problem of a registered kind; KeyError for a code that is not registered."""
    PROBLEM_CODES[code]
    return Problem(code=code, file=file, row=row, column=column, value=value, what=what, mend=mend)


def remark(
    code: str,
    file: str,
    what: str,
    mend: str,
    *,
    row: int | None = None,
    column: str | None = None,
    value: str | None = None,
) -> Remark:
    """Remark of a registered kind; KeyError for a code that is not registered."""
    REMARK_CODES[code]
    return Remark(code=code, file=file, row=row, column=column, value=value, what=what, mend=mend)
