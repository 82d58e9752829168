"""The recce sheet: blank to print, and a form that works without a network. Layout only."""

from dataclasses import asdict

from spreadload.explain.recce import Recce
from spreadload.report.page import page


def recce_html(recce: Recce) -> str:
    """Return the recce sheet as one self-contained page."""
    style, scripts = ("sheet.css", "paper.css", "recce.css"), ("recce.js",)
    return page("recce.html.j2", style, scripts, recce=recce, spec=asdict(recce))
