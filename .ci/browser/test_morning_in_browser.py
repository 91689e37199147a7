"""The office's page in a real browser: by keyboard alone, on a phone, read out.

Source:
    Web Content Accessibility Guidelines 2.2 (W3C, 2023): 1.4.10 Reflow at 320 CSS px, 2.1.1
    Keyboard, 2.4.1 Bypass Blocks, 2.4.7 Focus Visible, 2.5.8 Target Size (24 CSS px).
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from tests.demo_night import demo_night
from tests.over_http import Office, office_of
from worker.demo import WORK_DATE
from worker.ledger.records import job_by_number

CHROMIUM = "/usr/bin/chromium"
LEAST_TARGET = 24
"""Of whatever is pressed. [CSS px]"""


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """The service over the demo's night."""
    works = demo_night(tmp_path_factory.mktemp("browser"))
    with office_of(works) as client:
        yield client
    works.ledger.close()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Debian's Chromium, without a screen."""
    with sync_playwright() as player:
        chromium = player.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield chromium
        chromium.close()


@pytest.fixture
def page(browser: Browser, office: Office) -> Iterator[Page]:
    """The day's page, come in to by keyboard."""
    context = browser.new_context(base_url=office.url)
    shown = context.new_page()
    asked: list[str] = []
    shown.on("request", lambda request: asked.append(request.url))
    shown.goto("/login")
    shown.wait_for_function("document.activeElement.tagName === 'INPUT'")  # by itself
    shown.keyboard.type(office.key)
    shown.keyboard.press("Enter")
    shown.wait_for_url("**/")
    shown.goto(f"/?day={WORK_DATE}")
    yield shown
    assert all(url.startswith(office.url) for url in asked)
    context.close()


@pytest.mark.parametrize("width", [320, 390, 1280])
def test_the_page_never_scrolls_sideways(page: Page, width: int) -> None:
    """On the smallest phone, or at 400 % on a desk; wide tables scroll by themselves."""
    page.set_viewport_size({"width": width, "height": 800})

    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_what_is_pressed_is_large_enough(page: Page) -> None:
    """For a thumb."""
    page.set_viewport_size({"width": 390, "height": 800})

    for target in page.locator("button, nav a, summary, input, select").all():
        if target.is_visible():
            box = target.bounding_box()
            assert box is not None
            at_least = 20 if target.get_attribute("type") == "radio" else LEAST_TARGET
            assert box["height"] >= at_least


def test_everything_has_a_role_and_a_name(page: Page) -> None:
    """As a screen reader finds it."""
    expect(page.get_by_role("heading", level=1)).to_have_text("2 of 3 crews ready")
    expect(page.get_by_role("navigation", name="Days")).to_be_visible()
    expect(page.get_by_role("main")).to_be_visible()
    expect(page.get_by_role("region", name="Heron Ready")).to_be_visible()
    expect(page.get_by_role("table", name="Counts")).to_be_visible()
    asked = page.get_by_role(
        "group", name="What was misread: one riser, their count, or the total rise?"
    )
    expect(asked.get_by_role("radio")).to_have_count(2)
    expect(asked.get_by_label("Who decides")).to_be_visible()
    expect(asked.get_by_role("button", name="Answer for P-2046")).to_be_visible()


def test_the_first_stop_of_the_keyboard_leads_past_the_head(page: Page) -> None:
    """And it is seen while it has the focus."""
    page.keyboard.press("Tab")
    jump = page.get_by_role("link", name="To the page's content")

    expect(jump).to_be_focused()
    expect(jump).to_be_in_viewport()
    outline = jump.evaluate("e => getComputedStyle(e).outlineStyle")
    assert outline == "solid"


def test_a_hold_is_answered_by_keyboard_alone(page: Page, office: Office) -> None:
    """Tab, space, type, enter; the job goes on and its question is gone."""
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.type") == "radio":
            break
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.type("A. Duty")
    page.keyboard.press("Tab")
    page.keyboard.type("photo 12")
    page.keyboard.press("Enter")

    page.wait_for_url(f"**/?day={WORK_DATE}")
    expect(page.get_by_role("heading", name="To decide")).to_have_count(0)
    with office.works.ledger.reading() as tx:
        assert job_by_number(tx, "P-2046").state == "received"
