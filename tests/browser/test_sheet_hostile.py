"""Names that try to be code on the sheet stay text."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sheets import TABS
from spreadload.app import planning
from spreadload.app import sheet as app_sheet
from spreadload.plan import Plan
from spreadload.report.sheet import sheet_html

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]

Open = Callable[[str], "Page"]
ROOT = Path(__file__).parents[2]
HOSTILE = {
    "script": "<script>document.title='owned'</script>",
    "closes": "</script><img src=x onerror=\"document.title='owned'\">",
    "quotes": "a\"b'c`d${document.title='owned'}",
    "rtl": "\u202eright-to-left \u05d0\u05d1",
    "emoji": "💡🔌 lamp",
    "long": "x" * 300,
    "template": "{{ 7 * 7 }}{% raw %}",
    "comment": "--><!-- & &lt;b&gt;",
}


def hostile_page() -> str:
    """Return the sheet of a small job with hostile text wherever a job takes text."""
    job = planning.load_job(ROOT / "scenarios/first_job")
    plan = planning.load_plan(Path(__file__).parent / "plans/first_job.json", job).plan
    text = {"O1": HOSTILE["closes"], "O2": HOSTILE["quotes"], "O3": HOSTILE["rtl"]}
    names = iter(HOSTILE.values())

    def renamed(value: object) -> object:
        if isinstance(value, dict):
            return {text.get(k, k): renamed(v) for k, v in value.items()}
        if isinstance(value, (list, tuple)):
            return [renamed(each) for each in value]
        return text.get(value, value) if isinstance(value, str) else value

    data = renamed(job.model_dump(mode="json", by_alias=True))
    assert isinstance(data, dict)
    data["title"] = HOSTILE["script"] + HOSTILE["long"]
    data["heads"]["daylight"]["what"] = HOSTILE["template"]
    data["circuits"]["P1"]["label"] = HOSTILE["closes"]
    data["circuits"]["P2"]["label"] = HOSTILE["long"]
    for setup in data["setups"]:
        setup["name"] = next(names)
    for outlet in data["outlets"].values():
        outlet["where"] = next(names)
    made = plan.model_dump(mode="json")
    for placement in made["placements"]:
        placement["point"] = text.get(placement["point"], placement["point"])
    hostile = type(job).model_validate_json(json.dumps(data))
    told = app_sheet.sheet_of(hostile, Plan.model_validate_json(json.dumps(made)))
    assert told.sheet is not None
    return sheet_html(told.sheet)


def test_hostile_names_stay_text(
    open_page: Open, print_out: Callable[["Page", str], list[str]]
) -> None:
    """Markup, script, quotes, right-to-left marks, emoji and 300 characters do no harm."""
    page = open_page(hostile_page())
    for tab in TABS:
        page.click(f'[data-tab="{tab}"]')
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, tab
    assert page.title().endswith("power plan")
    assert page.locator("img").count() == 0
    assert HOSTILE["script"] in page.inner_text("h1 >> nth=0")
    assert "{{ 7 * 7 }}" in page.inner_text("body") or "{{ 7 * 7 }}" in page.content()
    page.click('[data-tab="trip"]')
    page.locator(".tap-dark").first.click()
    assert page.locator(".suspect").count() >= 1
    assert len(print_out(page, "A4")) <= 3
