"""Clients with the keyboard alone: news put away, brought back, and away again after a reload."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.conftest import Visit

pytestmark = pytest.mark.browser

MOST_STOPS = 90


def tab_to(visit: Visit, target: Locator) -> None:
    """Press Tab until the target has the focus, as a person without a mouse does."""
    expect(target).to_be_visible()
    for _ in range(MOST_STOPS):
        visit.page.keyboard.press("Tab")
        if target.evaluate("(one) => one === document.activeElement || one.contains(document.activeElement)"):
            return
    pytest.fail(f"{MOST_STOPS} times Tab did not reach it.")


def test_news_are_put_away_and_brought_back_by_keyboard(visit: Visit) -> None:
    page = visit.page
    visit.open("/")
    heading = page.locator("h2").first
    expect(heading).to_have_text("5 clients, 1 to look at first; 2 logs cannot be read")
    expect(page.get_by_text("a morning above usual")).to_be_visible()
    looked_at = page.get_by_role("button", name="Looked at").first
    tab_to(visit, looked_at)
    page.keyboard.press("Enter")
    expect(heading).to_have_text("5 clients, nothing new; 2 logs cannot be read")
    expect(page.get_by_text("a morning above usual")).to_have_count(0)
    expect(page.get_by_role("link", name="Pain line of K-07")).to_be_visible()
    visit.open("/")
    expect(heading).to_have_text("5 clients, nothing new; 2 logs cannot be read")
    switch = page.get_by_role("switch")
    tab_to(visit, switch)
    page.keyboard.press("Space")
    expect(page.get_by_text("a morning above usual")).to_be_visible()
    back = page.get_by_role("button", name="Bring back as news")
    tab_to(visit, back)
    page.keyboard.press("Enter")
    expect(heading).to_have_text("5 clients, 1 to look at first; 2 logs cannot be read")
    expect(switch).to_have_count(0)
