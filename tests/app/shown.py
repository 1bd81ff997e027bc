"""What stands on a screen, as a person reads it."""

from __future__ import annotations

import html
import json
from functools import cache
from pathlib import Path

from streamlit.testing.v1 import AppTest

from analysis.log import read_log
from analysis.questions.review import Review, review

STORIES = ("K-07", "E-12", "B-03", "N-01", "Y-20")


@cache
def reviewed(sample_logs: Path, client: str) -> Review:
    """Every answer about a sample client, worked out once, apart from the app."""
    return review(read_log(sample_logs / client), client=client)


def heading(app: AppTest) -> str:
    """The page's heading."""
    assert len(app.header) == 1, [one.value for one in app.header]
    return html.unescape(app.header[0].value)


def texts(app: AppTest) -> str:
    """Every paragraph, caption and error of the page, a line each."""
    parts = [*app.markdown, *app.caption, *app.error]
    return "\n".join(html.unescape(str(part.value)) for part in parts)


def tables(app: AppTest) -> list[list[list[str]]]:
    """Every table of the page that wraps: rows of cells, the headings first."""
    return [
        [
            [html.unescape(cell.strip()) for cell in line.strip("|").split(" | ")]
            for number, line in enumerate(str(one.value).splitlines())
            if number != 1
        ]
        for one in app.markdown
        if str(one.value).startswith("| ")
    ]


def chart_description(app: AppTest) -> str | None:
    """The words of the page's first chart for those who hear it; None without a chart."""
    found = chart_descriptions(app)
    return found[0] if found else None


def chart_descriptions(app: AppTest) -> list[str]:
    """The words of every chart of the page for those who hear them."""
    return [json.loads(chart.proto.spec)["description"] for chart in app.get("vega_lite_chart")]


def links(app: AppTest) -> dict[str, dict[str, str]]:
    """Label of every link of the page with what it puts into the address."""
    found = {}
    for one in app.get("page_link"):
        query = dict(part.partition("=")[::2] for part in one.proto.query_string.split("&") if part)
        found[html.unescape(one.proto.label)] = query
    return found
