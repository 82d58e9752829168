"""The sheet as one HTML file and its lists as CSV: layout only, nothing is worked out here."""

import csv
from io import StringIO
from unicodedata import normalize

from spreadload.explain.sheet import Sheet, Table
from spreadload.report.page import page

# A spreadsheet takes a cell that starts like this for a formula.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def sheet_html(sheet: Sheet) -> str:
    """Return the sheet as one self-contained page."""
    scripts = ("sums.js", "sheet.js", "fit.js")
    return page("sheet.html.j2", ("sheet.css", "paper.css"), scripts, sheet=sheet)


def table_csv(table: Table) -> str:
    """Return one list as CSV with a heading line; no cell is ever a formula.

    Source:
        RFC 4180 for the format; the leading apostrophe follows OWASP's advice on CSV injection,
        full-width signs included (from memory).
    """
    out = StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(table.columns)
    for line in (*table.rows, *[("",) * len(table.columns)] * table.blank):
        writer.writerow([_plain(cell) for cell in line])
    return out.getvalue()


def _plain(cell: str) -> str:
    # Signs as wide as a letter of Chinese or Japanese are taken for the plain ones.
    first = normalize("NFKC", cell[:1])
    return f"'{cell}" if first in _FORMULA_STARTS else cell
