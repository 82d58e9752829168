"""The sheet for every hand and eye: rules of accessibility, keys alone, large enough to touch."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]

Open = Callable[[str], "Page"]
Made = Callable[[str], str]
RULES: dict[str, dict[str, Any]] = {"light": {}, "dark": {"runOnly": ["color-contrast"]}}


def press_on(page: "Page", selector: str, key: str = "Enter") -> None:
    """Press a key on what a selector names, as somebody without a pointer would."""
    page.focus(selector)
    page.keyboard.press(key)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_accessibility_rules_hold_on_every_tab(
    scheme: str, sheet_page: Made, open_page: Open
) -> None:
    """No rule of the axe-core engine is broken; in the dark, contrast is all that can differ."""
    from axe_playwright_python.sync_playwright import Axe  # noqa: PLC0415 - with the browser only

    page = open_page(sheet_page("bungalow"))
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    page.click('#tab-now [data-setup="SU2"]')
    page.locator("#ways .unit").first.click()
    page.fill("#ask-amps", "30")
    page.click("text=May I?")
    page.click('[data-tab="trip"]')
    page.click('[data-tap="A8 dark"]')
    # One look at all that the tabs show one after another, everything unfolded.
    page.evaluate(
        """() => {
            for (const each of document.querySelectorAll("[role=tabpanel]")) each.hidden = false;
            for (const each of document.querySelectorAll("details")) each.open = true;
            document.querySelector(".sticky").style.position = "static";
        }"""
    )
    found = Axe().run(page, options=RULES[scheme])
    assert found.violations_count == 0, found.generate_report()


def test_keys_alone_do_everything(sheet_page: Made, open_page: Open) -> None:
    """Tabs by arrows; a head off, a question and a trip by Enter, the focus staying there."""
    page = open_page(sheet_page("first_job"))
    press_on(page, "#ways .unit >> nth=0", "Space")
    assert page.evaluate("document.activeElement.getAttribute('aria-pressed')") == "false"
    page.focus("#ask-amps")
    page.keyboard.type("0.1")
    page.keyboard.press("Enter")
    assert page.get_attribute("#ask-said", "data-says") == "yes"
    press_on(page, '[data-tab="now"]', "ArrowRight")
    assert page.evaluate("document.activeElement.dataset.tab") == "trip"
    assert page.is_visible("#tab-trip")
    assert not page.is_visible("#tab-now")
    press_on(page, "#trip-used .tap-dark >> nth=0")
    assert page.evaluate("document.activeElement.getAttribute('aria-pressed')") == "true"
    assert page.locator(".suspect").count() >= 1
    press_on(page, "#undo")
    assert page.locator(".suspect").count() == 0


def test_everything_a_finger_needs_is_large(sheet_page: Made, open_page: Open) -> None:
    """Buttons, fields and taps are at least 44 px high, as WCAG 2.2 (2.5.5, enhanced) asks."""
    page = open_page(sheet_page("bungalow"))
    small = page.evaluate(
        """() => {
            for (const each of document.querySelectorAll("[role=tabpanel]")) each.hidden = false;
            for (const each of document.querySelectorAll("details")) each.open = true;
            return [...document.querySelectorAll("button, select, input[type=text], summary")]
                .filter((each) => each.getClientRects().length
                    && each.getBoundingClientRect().height < 44)
                .map((each) => each.outerHTML.slice(0, 80));
        }"""
    )
    assert small == []


def test_on_a_phone_a_row_of_a_list_is_a_card_and_still_a_row(
    sheet_page: Made, open_page: Open
) -> None:
    """Every cell has its heading beside it and fits the screen; a screen reader hears a table."""
    page = open_page(sheet_page("family_house"))
    page.click('[data-tab="lists"]')
    page.click("text=Department sheets")
    card = page.locator("#tab-lists details[open] tbody tr").first
    box = card.bounding_box()
    assert box is not None
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= 360
    shown = card.locator("td:visible")
    assert shown.count() > 5
    label = "getComputedStyle(each, '::before').content"
    assert shown.first.evaluate(f"(each) => {label}") == '"department"'
    region = page.get_by_role("region", name="Department sheets")
    assert region.get_by_role("row").count() > 2
    assert region.get_by_role("columnheader").count() == 9
    page.set_viewport_size({"width": 1200, "height": 800})
    assert shown.first.evaluate("(each) => getComputedStyle(each).display") == "table-cell"
