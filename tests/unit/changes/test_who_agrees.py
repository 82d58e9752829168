"""Who has to agree to a change is named as the job names them (common practice, no source)."""

import pytest

from builders import amps, circuit, setup, small_job
from spreadload.changes import Change, ChangeKind, Cost, whose
from spreadload.job.job import Job


def house() -> Job:
    """Return a job with a head, two departments' loads, one of nobody named, and a fridge."""
    return small_job(
        circuits={"P1": circuit(20.0)},
        heads={"key": amps(3.0)},
        departments={
            "dryer": amps(8.0, by="hair and make-up"),
            "urn": amps(8.0, by="catering"),
            "charger": amps(2.0),
        },
        house={"fridge": amps(1.0)},
        setups=[setup(key="lounge")],
    )


def change(kind: ChangeKind, *loads: str) -> Change:
    """Return a change of a kind that is about some loads of the house."""
    return Change(kind, "", Cost(), lambda job: job, whose=tuple(whose(house(), n) for n in loads))


@pytest.mark.parametrize(
    ("load", "who"),
    [
        ("dryer", "hair and make-up"),
        ("urn", "catering"),
        ("charger", "its department"),
        ("fridge", "owner"),
        ("key", "gaffer"),
    ],
)
def test_a_load_has_somebody_with_a_say_in_it(load: str, who: str) -> None:
    """Its department; the owner for the house's own; the gaffer for a head."""
    assert whose(house(), load) == who


@pytest.mark.parametrize(
    ("kind", "loads", "who"),
    [
        (ChangeKind.TURNS, ("urn", "dryer"), ("catering", "hair and make-up")),
        (ChangeKind.OFF, ("urn",), ("AD", "catering")),
        (ChangeKind.MOVE, ("fridge",), ("locations", "AD", "owner")),
        (ChangeKind.SWAP, ("key",), ("DP",)),
    ],
)
def test_those_whose_loads_they_are_are_asked_too(
    kind: ChangeKind, loads: tuple[str, ...], who: tuple[str, ...]
) -> None:
    """Beside those who are asked about any change of the kind."""
    assert change(kind, *loads).agrees == who


def test_nobody_is_named_twice() -> None:
    """Two loads of one department are one question."""
    assert change(ChangeKind.TURNS, "urn", "urn").agrees == ("catering",)


@pytest.mark.parametrize("kind", ChangeKind)
def test_every_kind_of_change_has_somebody_to_agree(kind: ChangeKind) -> None:
    """No change is made over everybody's head."""
    assert change(kind, "urn").agrees
