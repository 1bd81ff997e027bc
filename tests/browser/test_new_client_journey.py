"""A client begins with the keyboard alone: from Clients through every question to the first page, and undone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Visit
from tests.browser.test_clients_journey import tab_to

pytestmark = pytest.mark.browser


def test_a_client_begins_by_keyboard_and_is_taken_back(visit: Visit) -> None:
    page = visit.page
    keys = page.keyboard
    heading = page.locator("h2").first
    visit.open("/")
    tab_to(visit, page.get_by_role("link", name="New client"))
    keys.press("Enter")
    expect(heading).to_have_text("New client")
    visit.settled()
    tab_to(visit, page.get_by_role("textbox", name="Code of the client"))
    keys.type("M-14", delay=20)
    tab_to(visit, page.get_by_role("textbox", name="Place, in the client's words"))
    keys.type("front of knee", delay=20)
    for name, option in (("Region", "knee"), ("Side", "left")):
        tab_to(visit, page.get_by_role("combobox", name=name))
        keys.type(option, delay=20)
        expect(page.get_by_role("option", name=option, exact=True)).to_be_visible()
        keys.press("Enter")
        visit.settled()
    tab_to(visit, page.get_by_role("button", name="Save this client"))
    keys.press("Enter")
    expect(page.get_by_text(re.compile(r"^\d+ answers to mend above"))).to_be_visible()
    expect(page.get_by_text("Not answered. Ask it").first).to_be_visible()
    signs = page.get_by_test_id("stRadio")
    for number in range(signs.count()):
        no = signs.nth(number).get_by_role("radio").first
        tab_to(visit, no)
        keys.press("Space")
        expect(no).to_be_checked()
        visit.settled()
    consent = page.get_by_role("checkbox", name="The client agreed")
    tab_to(visit, consent)
    keys.press("Space")
    expect(consent).to_be_checked()
    visit.settled()
    tab_to(visit, page.get_by_role("button", name="Save this client"))
    keys.press("Enter")
    expect(heading).to_have_text("M-14 is on file")
    expect(page.get_by_role("link", name="Today of M-14")).to_be_visible()
    tab_to(visit, page.get_by_role("button", name="Undo: take M-14 back"))
    keys.press("Enter")
    expect(heading).to_have_text("New client")
    expect(page.get_by_text("M-14 was taken back")).to_be_visible()
    expect(page.get_by_role("textbox", name="Code of the client")).to_have_value("M-14")
