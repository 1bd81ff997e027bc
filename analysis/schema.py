"""Every file and column of a log in one place, for reader, writer, forms and documents (layer: schema)."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import pandas as pd

from analysis.schema_others import OTHER_TABLES, REGIONS
from analysis.schema_sets import SETS
from analysis.schema_terms import NAME_LENGTH, NOTE_LENGTH, Column, Kind, Table

TABLES: Mapping[str, Table] = MappingProxyType({table.name: table for table in (SETS, *OTHER_TABLES)})

KG_PER_LB = 0.45359237
"""Kilograms in one international pound, exact by definition (Federal Register 24 FR 5348, 1959)."""

STANDARD_VARIANT = "standard"
DEFAULT_PAIN_LEVEL = 2

DTYPES: Mapping[Kind, str] = MappingProxyType(
    {
        "code": "str",
        "text": "str",
        "note": "str",
        "choice": "str",
        "tempo": "str",
        "date": "datetime64[us]",
        "whole": "Int64",
        "number": "float64",
        "yes_no": "boolean",
    }
)


def table(name: str) -> Table:
    """Table of that name.

    Parameters
    ----------
    name : str
        Name without ending, such as ``sets``.

    Returns
    -------
    Table
        The table; KeyError when there is none of that name.
    """
    return TABLES[name]


def column(table_name: str, column_name: str) -> Column:
    """Column of a table, both by name; KeyError when there is none.

    Parameters
    ----------
    table_name : str
        Name of the table, such as ``sets``.
    column_name : str
        Heading, such as ``pain_left``.

    Returns
    -------
    Column
        What the column holds.
    """
    return TABLES[table_name].column(column_name)


def empty_frame(name: str) -> pd.DataFrame:
    """Frame of a table without rows, every column there and of its type.

    Parameters
    ----------
    name : str
        Name of the table, such as ``days``.

    Returns
    -------
    DataFrame
        Columns in schema order; ``source_file`` and ``source_row`` follow for sets.
    """
    series = {c.name: pd.Series([], dtype=DTYPES[c.kind]) for c in TABLES[name].columns}
    if name == "sets":
        series["source_file"] = pd.Series([], dtype="str")
        series["source_row"] = pd.Series([], dtype="int64")
    return pd.DataFrame(series)


__all__ = [
    "DEFAULT_PAIN_LEVEL",
    "DTYPES",
    "KG_PER_LB",
    "NAME_LENGTH",
    "NOTE_LENGTH",
    "REGIONS",
    "SETS",
    "STANDARD_VARIANT",
    "TABLES",
    "Column",
    "Kind",
    "Table",
    "column",
    "empty_frame",
    "table",
]
