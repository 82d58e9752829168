"""Everything a printed or pocketed sheet says, worked out once so that templates only lay it out.

Never imports the solver, and nothing here knows of HTML, CSV or paper sizes.
"""

from spreadload.explain.sheet.build import sheet
from spreadload.explain.sheet.records import Made, Sheet, Table

__all__ = ["Made", "Sheet", "Table", "sheet"]
