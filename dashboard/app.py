"""Entry of the dashboard: the page's frame and its menu, nothing else (layer: app)."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

STYLE = """
[data-testid="stMainBlockContainer"] { padding-top: 4.5rem; padding-bottom: 3rem; max-width: 1280px; }
[data-testid="stMarkdownContainer"] p { max-width: 46rem; }
[data-testid="stPageLink-NavLink"] { padding: 0; }
[data-testid="stPageLink-NavLink"] p { font-size: 1rem; text-decoration: underline; text-underline-offset: 0.2em; }
[data-testid="stMarkdownContainer"]:has(> table) { overflow-x: auto; }
[data-testid="stMarkdownContainer"] table { width: 100%; font-size: .9375rem; }
[data-testid="stMarkdownContainer"] :is(td, th) { padding: .3rem .5rem; vertical-align: top; min-width: 4.5rem; }
hr { margin: 0; border: 0; border-top: 1px solid #8886; }
"""
ICON = Path(__file__).parent / "icon.png"

st.set_page_config(page_title="Ebbline", page_icon=str(ICON), layout="wide")
page = st.navigation(
    {
        "": [
            st.Page("views/clients.py", title="Clients", default=True),
            st.Page("views/today.py", title="Today", url_path="today"),
            st.Page("views/check_in.py", title="Check-in", url_path="check_in"),
            st.Page("views/log.py", title="Log", url_path="log"),
            st.Page("views/new_client.py", title="New client", url_path="new_client", visibility="hidden"),
        ],
        "Review": [
            st.Page("views/month.py", title="Month", url_path="month"),
            st.Page("views/pain_line.py", title="Pain line", url_path="pain_line"),
            st.Page("views/effects.py", title="What brings it on", url_path="effects"),
            st.Page("views/what_next.py", title="What happened next", url_path="what_next"),
            st.Page("views/harder.py", title="Easier and harder", url_path="harder"),
            st.Page("views/sides.py", title="Sides", url_path="sides"),
        ],
    },
    position="top",
)
st.html(f"<style>{STYLE}</style>")
page.run()
