"""What the lines of a supply are called: a crew in a split-phase house says leg, not phase."""

import pytest

from spreadload.app import planning
from spreadload.derived.facts import Facts

# Common practice, no source.
CALLED = [
    ("scenarios/ranch_house", "A", "leg A"),
    ("scenarios/community_hall", "L2", "phase L2"),
    ("scenarios/first_job", "L1", "the supply"),
]


@pytest.mark.parametrize(("job", "line", "name"), CALLED)
def test_lines_are_called_as_the_crew_does(job: str, line: str, name: str) -> None:
    """Two lines are legs, three are phases, and one is the supply."""
    assert Facts.of(planning.load_job(job)).supply.line_name(line) == name
