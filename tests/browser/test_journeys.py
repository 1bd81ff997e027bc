"""Journeys through the screens in a real browser: an address, an upload, a phone."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import expect

from analysis.log import read_log
from analysis.questions.review import Review, review
from analysis.results import LineRow, PainLine
from analysis.tables import review_json
from dashboard.wording.clients import leading_line
from dashboard.wording.line_names import side_name
from tests.browser.conftest import Visit

pytestmark = pytest.mark.browser

PHONE = (390, 844)
GOOD = "client,date,set,exercise,side,load,unit,load_basis,reps,pain_left\n" + "".join(
    f"U-01,2026-09-{day:02d},{number},step-down,left,{load},kg,per hand,8,{pain}\n"
    for day in (1, 4, 8, 11)
    for number, load, pain in ((1, 8, 0), (2, 10, 1), (3, 12, 3))
)
BROKEN = GOOD.replace(",12,kg,", ",l2,kg,", 1)
SCREENS = (
    "/",
    "/month?client=K-07",
    "/pain_line?client=K-07",
    "/pain_line?client=N-01",
    "/log",
    "/new_client",
)


@pytest.fixture(scope="module")
def knee(sample_logs: Path) -> Review:
    """Every answer about K-07, computed here and not by the server."""
    return review(read_log(sample_logs / "K-07"), client="K-07")


def address_of(row: LineRow) -> str:
    """Address of a line of K-07."""
    key = row.key
    return (
        f"/pain_line?client=K-07&exercise={quote(key.exercise)}&variant={quote(key.variant)}"
        f"&side={quote(side_name(key))}"
    )


def reached(found: Review) -> list[LineRow]:
    """Lines for 2 of 10 that have a load and both ends."""
    shown = [row for row in found.lines if row.chance == 0.2]
    return [row for row in shown if isinstance(row.answer, PainLine) and row.answer.status == "reached"]


def test_a_cold_address_opens_its_line_with_the_number_of_the_json(visit: Visit, knee: Review) -> None:
    leading = leading_line(knee.lines)
    row = next(one for one in reached(knee) if leading is not None and one.key != leading.key)
    visit.open(address_of(row))
    told = next(
        one
        for one in review_json(knee)["pain_line"]
        if (one["exercise"], one["variant"], one["side"], one["works"], one["chance"])
        == (row.key.exercise, row.key.variant, row.key.side, row.key.works, 0.2)
    )
    shown = re.search(r"at about ([\d.]+) kg.*?\(([\d.]+) to ([\d.]+)\)", visit.heading())
    assert shown, visit.heading()
    for text, number in zip(shown.groups(), (told["load_kg"], told["low_kg"], told["high_kg"]), strict=True):
        half_a_digit = 0.5 * 10 ** -len(text.partition(".")[2])
        assert float(text) == pytest.approx(number, abs=half_a_digit + 1e-9)
    expect(visit.page.locator("[data-testid=stVegaLiteChart]")).to_have_count(2)
    expect(visit.page.get_by_text("Traceback")).to_have_count(0)


def test_choosing_another_exercise_changes_the_address_and_the_answer(visit: Visit, knee: Review) -> None:
    rows = reached(knee)
    first, other = rows[0], next(one for one in rows if one.key.exercise != rows[0].key.exercise)
    visit.open(address_of(first))
    before = visit.heading()
    visit.page.get_by_role("combobox", name=re.compile("Exercise")).click()
    visit.page.get_by_role("option", name=other.key.exercise, exact=True).click()
    expect(visit.page.locator("h2").first).not_to_have_text(before)
    visit.settled()
    after = visit.heading()
    assert (
        other.key.exercise
        in visit.page.locator("[data-testid=stCaptionContainer]").first.inner_text().lower()
    )
    visit.open(visit.page.url.removeprefix(visit.address))
    assert visit.heading() == after


def test_a_broken_upload_is_mended(visit: Visit) -> None:
    visit.open("/log")
    chooser = visit.page.get_by_test_id("stFileUploaderDropzoneInput")
    chooser.set_input_files([{"name": "sets.csv", "mimeType": "text/csv", "buffer": BROKEN.encode()}])
    expect(visit.page.locator("h2").first).to_have_text("1 log cannot be read")
    expect(visit.page.get_by_text("1 problem in sets.csv")).to_be_visible()
    # the tables of the logs open before go one by one; only the upload's stays
    expect(visit.page.get_by_test_id("stDataFrame")).to_have_count(1)
    expect(visit.page.get_by_test_id("stDataFrame")).to_be_visible()
    visit.page.get_by_role("button", name=re.compile("Remove")).first.click()
    expect(visit.page.get_by_text("1 problem in sets.csv")).to_have_count(0)
    chooser.set_input_files([{"name": "sets.csv", "mimeType": "text/csv", "buffer": GOOD.encode()}])
    expect(visit.page.locator("h2").first).to_have_text("1 log open")
    expect(visit.page.get_by_test_id("stDataFrame")).to_have_count(0)
    visit.page.get_by_role("link", name="To the clients of this log").click()
    expect(visit.page.locator("h2").first).to_have_text("1 client, with news")
    expect(visit.page.get_by_role("link", name="U-01", exact=True)).to_be_visible()


def test_from_the_clients_to_a_line_and_back(visit: Visit, knee: Review) -> None:
    leading = leading_line(knee.lines)
    assert leading is not None
    visit.open("/")
    visit.page.get_by_role("link", name="K-07", exact=True).click()
    visit.page.wait_for_url("**/pain_line?*client=K-07*")
    visit.settled()
    expect(
        visit.page.get_by_text(re.compile(f"^K-07 · {leading.key.exercise}", re.IGNORECASE))
    ).to_be_visible()


@pytest.mark.parametrize("visit", [PHONE], indirect=True)
@pytest.mark.parametrize("screen", SCREENS)
def test_a_phone_never_scrolls_sideways(visit: Visit, screen: str) -> None:
    visit.open(screen)
    wide = visit.page.evaluate(
        "Math.max(document.documentElement.scrollWidth,"
        " document.querySelector('[data-testid=stMain]').scrollWidth)"
    )
    assert wide <= PHONE[0]


def test_every_link_on_clients_opens_that_client_whatever_was_open_before(visit: Visit) -> None:
    """The first client and first exercise are the choosers' first options: a link to them must count as well."""
    visit.open("/")
    for link, client in (
        ("K-07", "K-07"),
        ("Pain line of B-03", "B-03"),
        ("Y-20", "Y-20"),
        ("Today of K-07", "K-07"),
        ("E-12", "E-12"),
        ("B-03", "B-03"),
        ("Pain line of N-01", "N-01"),
    ):
        visit.page.get_by_role("link", name="Clients", exact=True).first.click()
        found = visit.page.get_by_role("link", name=link, exact=True)
        expect(found).to_be_visible()
        visit.settled()
        found.click()
        expect(visit.page).to_have_url(re.compile(rf"client={client}"))
        expect(visit.page.get_by_role("combobox", name=re.compile("Client"))).to_have_value(client)
        expect(visit.page.get_by_text(re.compile(rf"^{client}( ·|$)")).first).to_be_visible()


def test_the_menu_keeps_the_client_on_every_screen(visit: Visit) -> None:
    visit.open("/today?client=K-07")
    for name, path in (("Sides", "sides"), ("Pain line", "pain_line"), ("Month", "month")):
        visit.page.get_by_test_id("stTopNavSection").filter(has_text="Review").click()
        visit.page.get_by_test_id("stTopNavDropdownLink").filter(has_text=name).click()
        stands_on(visit, path)
    visit.page.get_by_test_id("stTopNavLink").filter(has_text="Today").click()
    stands_on(visit, "today")


def stands_on(visit: Visit, path: str) -> None:
    """On that screen, with K-07 in the address and in the chooser."""
    expect(visit.page).to_have_url(re.compile(rf"/{path}\?client=K-07"))
    visit.settled()
    expect(visit.page.get_by_role("combobox", name=re.compile("Client"))).to_have_value("K-07")
