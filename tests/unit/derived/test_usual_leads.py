"""Where no leads are listed the usual ones are there for every plug that cannot do without."""

from typing import Any

import pytest

from builders import amps, circuit, outlet, setup, small_job
from spreadload import plan_job, practice
from spreadload.derived.facts import Facts
from spreadload.explain.answer import Says

BIG = {"big": amps(13.0, cord_m=2.0)}


def kinds(facts: Facts) -> set[tuple[str, str, int]]:
    """Return plug, conductor and rating [mA] of every kind of lead."""
    return {(lead.plug, lead.size, lead.rating_ma) for lead in facts.leads}


def test_an_ordinary_plug_adds_no_other_leads() -> None:
    """A small head and a wired cooker leave it at the ordinary leads."""
    job = small_job(house={"cooker": amps(20.0, circuit="P1")})
    assert {plug for plug, *_ in kinds(Facts.of(job))} == {"au-10"}


@pytest.mark.parametrize("region", practice.region_ids())
def test_a_lead_of_which_only_the_length_is_known_is_rated_as_the_region_says(region: str) -> None:
    """What ``spreadload region`` prints as assumed is what a plan takes."""
    (lead,) = Facts.of(small_job(region=region, leads=[{"length_m": 10}])).leads
    row = practice.region(region)
    assert lead.size == row.assumed_lead_size.replace("mm2", "mm²")
    assert lead.rating_ma == row.lead_a.value * 1000


@pytest.mark.parametrize(
    ("region", "plug", "lead"),
    [
        ("AU", None, ("au-15", "1.5 mm²", 15_000)),
        ("NZ", "au-20", ("au-20", "2.5 mm²", 20_000)),
        ("UK", "cee-16", ("cee-16", "2.5 mm²", 16_000)),
        ("EU", "cee-32", ("cee-32", "6 mm²", 32_000)),
        ("US", "us-20", ("us-20", "12 AWG", 20_000)),
        ("JP", "jp-20", ("jp-20", "3.5 mm²", 20_000)),
    ],
)
def test_a_larger_plug_brings_leads_that_carry_it(
    region: str, plug: str | None, lead: tuple[str, str, int]
) -> None:
    """The thinnest cord that carries the plug's rating.

    Sources: AS/NZS 3191 (15 A at 1.5 mm², 20 A at 2.5 mm²), ratings of appliance cords in the UK
    (15 A at 1.5 mm², 20 A at 2.5 mm²), BS 7671 table 4F1A (39 A at 6 mm²), NEC table 400.5(A)(1)
    column A (20 A at 12 AWG), Japanese interior wiring rules (23 A at 3.5 mm²); of all but BS 7671
    and NEC from memory.
    """
    head = {"big": amps(13.0, cord_m=2.0) | ({} if plug is None else {"plug": plug})}
    facts = Facts.of(small_job(region=region, heads=head, setups=[setup(big="lounge")]))
    assert lead in kinds(facts)


def test_an_empty_list_of_leads_says_that_there_are_none() -> None:
    """A lamp on a cord of 2 m, 6 m from the outlet: lit where nobody listed leads, not by none."""
    stated: dict[str, Any] = {
        "outlets": {"O1": outlet("P1", "lounge", at=[0, 0])},
        "places": {"window": {"room": "lounge", "at": [6, 0]}},
        "heads": {"lamp": amps(4.0, cord_m=2.0)},
        "setups": [setup(lamp="window")],
    }
    assert plan_job(small_job(**stated)).answer.says is Says.FITS
    none = small_job(**stated, leads=[])
    assert Facts.of(none).leads == ()
    assert plan_job(none).answer.says is Says.CANNOT


def test_a_large_head_is_lit_in_a_house_that_takes_its_plug() -> None:
    """13 A on a cord of 2 m, 6 m from the only 15 A outlet: no ordinary lead takes its plug."""
    job = small_job(
        circuits={"P1": circuit(20.0)},
        outlets={"O1": outlet("P1", "lounge", plug="au-15", at=[0, 0])},
        places={"window": {"room": "lounge", "at": [6, 0]}},
        heads=BIG,
        setups=[setup(big="window")],
    )
    told = plan_job(job)
    assert told.answer.says is Says.FITS
    assert told.briefing is not None
    assumed = {each.text for each in told.briefing.assumptions if each.about == "lead"}
    assert assumed == {
        "none listed: as many as needed of 5 m, 10 m, 20 m and 30 m, each with au-10 or au-15",
        "conductor size of 10 m 1.5 mm²",
    }
