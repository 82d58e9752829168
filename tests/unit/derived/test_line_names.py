"""What the lines of a supply are called: a crew in a split-phase house says leg, not phase."""

import pytest

from spreadload.app import planning
from spreadload.app.board import read_board
from spreadload.app.volts import sag
from spreadload.derived.facts import Facts
from spreadload.plan import Plan

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


@pytest.mark.parametrize(
    ("job", "all_of_them", "one", "min_v"),
    [
        ("scenarios/ranch_house", "spread evenly over both legs", "A on one leg alone", 115.0),
        (
            "scenarios/community_hall",
            "spread evenly over all phases",
            "A on one phase alone",
            230.0,
        ),
    ],
)
def test_the_board_and_the_volts_use_the_same_word(
    job: str, all_of_them: str, one: str, min_v: float
) -> None:
    """What the house can give is told of legs or phases too, never of lines."""
    stated = planning.load_job(job)
    assert all_of_them in read_board(stated).text()
    told = sag(stated, Plan(placements=()), min_v=min_v).text()
    assert one in " ".join(told.split())
