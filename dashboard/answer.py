"""How an answer stands on a page: name, sentence, evidence, chart, table, the fold; all text escaped (layer: views)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import streamlit as st

from analysis.results import Problem, Remark
from dashboard.charts.spec import Spec
from dashboard.wording.escape import esc
from dashboard.wording.markdown_table import markdown_table
from dashboard.wording.method import CAUTION
from dashboard.wording.numbers import counted

MOST_SENTENCES = 100
LONGEST_WRAPPED = 60
"""Rows of the longest table that is shown whole."""
HOW_TO_BEGIN = (
    "A log is a folder of CSV files, one row a set; sets.csv is enough to begin."
    " Or one workbook with the same sheet names.",
    "Choose a folder or upload files on the Log page."
    " The samples folder that comes with Ebbline shows the form.",
)


def title(sentence: str, evidence: str = "", *, above: str = "") -> None:
    """Heading of a page: what it is about, the answer as a sentence, what stands behind it."""
    if above:
        st.caption(esc(above))
    st.header(esc(sentence), anchor=False)
    if evidence:
        st.markdown(esc(evidence))


def sentences(texts: Sequence[str]) -> None:
    """Plain sentences, one a line."""
    for text in texts:
        st.markdown(esc(text))


def listed(texts: Sequence[str]) -> None:
    """Sentences as a list."""
    st.markdown("\n".join(f"- {esc(text)}" for text in texts))


def table(rows: Sequence[Mapping[str, object]], *, name: str) -> None:
    """Rows under their names: a table that wraps, so that nothing is cut; a long one as a grid of its own height."""
    if not rows:
        return
    if len(rows) > LONGEST_WRAPPED:
        st.dataframe(list(rows), hide_index=True, key=name, height=480)
        return
    cells = [["" if cell is None else str(cell) for cell in row.values()] for row in rows]
    st.markdown(markdown_table(list(rows[0]), cells))


def chart(spec: Spec | None) -> None:
    """A chart in its own colours, as wide as the page."""
    if spec is not None:
        st.vega_lite_chart(spec=spec, theme=None, width="stretch")


def is_dark() -> bool:
    """Whether the page is shown on a dark ground."""
    return st.context.theme.type == "dark"


def fold(label: str, paragraphs: Sequence[str]) -> None:
    """Folded paragraphs."""
    with st.expander(label):
        for text in paragraphs:
            st.markdown(esc(text))


def caution() -> None:
    """What these records are not, at the foot of every answer."""
    st.caption(esc(CAUTION))


def problem_table(problems: Sequence[Problem | Remark], *, name: str) -> None:
    """Problems or remarks as a table: where, what, how to mend. Cells are plain text by themselves."""
    st.dataframe(
        [
            {
                "file": one.file,
                "row": one.row,
                "column": one.column or "",
                "value": one.value or "",
                "what": one.what,
                "how to mend": one.mend,
            }
            for one in problems
        ],
        hide_index=True,
        key=name,
        height="content" if len(problems) < 12 else 440,
        column_config={
            "file": st.column_config.TextColumn(width=150),
            "row": st.column_config.NumberColumn(width=60),
            "column": st.column_config.TextColumn(width="small"),
            "value": st.column_config.TextColumn(width="small"),
            "what": st.column_config.TextColumn(width=360),
            "how to mend": st.column_config.TextColumn(width=360),
        },
    )


def problem_sentences(problems: Sequence[Problem | Remark]) -> None:
    """The same as the table, folded, as sentences: to read on a phone and to copy into a message."""
    with st.expander("As sentences"):
        listed([one.sentence for one in problems[:MOST_SENTENCES]])
        if len(problems) > MOST_SENTENCES:
            st.markdown(esc(f"And {len(problems) - MOST_SENTENCES} more in the table above."))


def nothing_open(folder: str, n_broken: int = 0) -> None:
    """The page without any client: no log at all, or none that can be read."""
    if n_broken:
        title("No log can be read", f"{counted(n_broken, 'log')} in {folder} cannot be read.")
        sentences(("The Log page shows every problem with its file and row, and how to mend it.",))
        st.page_link("views/log.py", label="See the problems")
        return
    title("No log is open", f"There is no log in {folder}.")
    sentences(HOW_TO_BEGIN)
    st.page_link("views/log.py", label="Open a log")
