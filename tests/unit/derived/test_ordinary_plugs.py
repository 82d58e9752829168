"""Heat-makers sold with an ordinary plug: what a 3 kW kettle counts as on a 13 A plug.

BS 1363 plugs are rated 13 A and kettles up to 3 kW are sold with them; AS/NZS 3112 plugs are rated
10 A and heaters up to 2400 W are sold with them (from memory). At 230 V the sums say 13.04 and
10.43 A, since plates state the watts at the top of a range of volts. In North America hair dryers
up to 1875 W, which is 15 A at the 125 V on their plates, come with the 15 A plug (electrical trade
forums); at 120 V the sum says 15.63 A.
"""

from typing import Any

import pytest

from builders import outlet, setup, small_job
from spreadload.derived.facts import Facts
from spreadload.derived.records import LoadFacts


def kettle(
    region: str,
    *,
    supply: dict[str, float] | None = None,
    **stated: Any,  # noqa: ANN401 - any field of a load
) -> LoadFacts:
    """Return a heater at an ordinary outlet, worked out."""
    where = {"outlet": "O1"} if "circuit" not in stated else {}
    load = {"kind": "heater"} | where | stated
    outlets = {"O1": outlet("P1", "lounge", plug=None), "O2": outlet("P2", "bed", plug=None)}
    more = {} if supply is None else {"supply": {"limit_a": 63.0, **supply}}
    job = small_job(
        region=region,
        heads={},
        outlets=outlets,
        departments={"kettle": load},
        setups=[setup()],
        **more,
    )
    return Facts.of(job).loads["kettle"]


@pytest.mark.parametrize(
    ("region", "plate_w", "drawn_ma", "plug"),
    [
        ("UK", 3000.0, 13_000, "uk-13"),
        ("UK", 3001.0, 13_048, "cee-16"),
        ("UK", 2900.0, 12_609, "uk-13"),
        ("AU", 2400.0, 10_000, "au-10"),
        ("NZ", 2401.0, 10_440, "au-15"),
        ("EU", 3680.0, 16_000, "eu-16"),
        ("EU", 3700.0, 16_087, "cee-32"),
    ],
)
def test_up_to_what_the_plug_is_sold_for_the_plug_is_enough(
    region: str, plate_w: float, drawn_ma: int, plug: str
) -> None:
    """A watt more and it is another plug; below the plug's rating the sum stands."""
    facts = kettle(region, plate_w=plate_w)
    assert (facts.unit_ma[1], facts.plug) == (drawn_ma, plug)


@pytest.mark.parametrize("region", ["US", "CA"])
def test_an_1875_watt_dryer_keeps_to_the_15_amp_plug(region: str) -> None:
    """1875 W at 125 V are 15 A; a watt more, 1876/120 = 15.633 A, needs the 20 A plug."""
    facts = [
        kettle(region, plate_w=watts, supply={"planning_v": 120.0}) for watts in (1875.0, 1876.0)
    ]
    assert [(f.unit_ma[1], f.plug) for f in facts] == [(15_000, "us-15"), (15_634, "us-20")]


def test_a_stated_ordinary_plug_is_believed() -> None:
    """Whoever writes down that the kettle has a 13 A plug has seen it."""
    assert kettle("UK", plate_w=3000.0, plug="uk-13").unit_ma[1] == 13_000


@pytest.mark.parametrize(
    "stated",
    [
        {"plate_w": 3000.0, "plug": "cee-16"},
        {"plate_w": 3000.0, "circuit": "P1"},
        {"plate_a": 13.05},
        {"plate_w": 3000.0, "kind": "motor", "power_factor": 0.99},
    ],
)
def test_other_plugs_wires_amps_and_motors_are_counted_as_they_are(stated: dict[str, Any]) -> None:
    """Only watts of heat behind an ordinary plug are held to it."""
    assert kettle("UK", **stated).unit_ma[1] > 13_000


def test_what_was_taken_for_granted_is_told() -> None:
    """The source of the figure names the plug."""
    draw = kettle("UK", plate_w=3000.0).draw
    assert draw.is_assumed
    assert draw.source.endswith("taken to come with an ordinary plug and to keep to its 13 A")
