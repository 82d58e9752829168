"""Limits, points, continuous loads and kit, worked out."""

import pytest

from builders import amps, circuit, circuits, outlet, small_job
from spreadload.derived.facts import Facts
from spreadload.derived.points import possible_circuits


def long_day(*windows: tuple[str, str]) -> list[dict[str, object]]:
    """Return set-ups with the lamp on in every window."""
    return [
        {"id": f"SU{n}", "from": start, "to": end, "heads": {"lamp": "lounge"}}
        for n, (start, end) in enumerate(windows, 1)
    ]


def counted(region: str, *windows: tuple[str, str], **lamp: object) -> list[int]:
    """Return what a 10 A lamp counts in each set-up [mA]."""
    facts = Facts.of(
        small_job(region=region, heads={"lamp": amps(10.0, **lamp)}, setups=long_day(*windows))
    )
    return [facts.counted_ma(setup_id, "lamp", 1) for setup_id in facts.demands]


def test_three_hours_count_five_quarters_in_the_us() -> None:
    """A load on for three hours counts 125 % there, and only there.

    Source: NEC article 100 and 210.20(A): a continuous load is one of three hours or more, and
    the device is rated at 125 % of it.
    """
    assert counted("US", ("09:00", "12:00")) == [12500]
    assert counted("US", ("09:00", "11:59")) == [10000]
    assert counted("AU", ("09:00", "18:00")) == [10000]


def test_set_ups_without_a_gap_add_up() -> None:
    """Two hours and two hours with no break are four; with a break they are two and two."""
    assert counted("US", ("09:00", "11:00"), ("11:00", "13:00")) == [12500, 12500]
    assert counted("US", ("09:00", "11:00"), ("12:00", "14:00")) == [10000, 10000]


@pytest.mark.parametrize(
    ("stated", "counted_ma"),
    [
        ({"policy": "must stay on"}, 7500),
        ({"policy": "must stay on", "intermittent": True}, 6000),
        # Its hours are known, and two of them fall into the day.
        ({"policy": "must stay on", "starts_from": "8:00", "starts_to": "10:00"}, 6000),
        ({"policy": "may be off"}, 6000),
    ],
)
def test_what_must_stay_on_runs_longer_than_a_set_up(
    stated: dict[str, object], counted_ma: int
) -> None:
    """A server of 6 A runs before and after two hours of shooting: 125 % of it counts.

    Source: NEC article 100: three hours or more at its largest current.
    """
    job = small_job(
        region="US",
        house={"server": amps(6.0, outlet="O2") | stated},
        setups=long_day(("09:00", "11:00")),
    )
    on = job.setups[0].model_copy(update={"on": ("server",)})
    facts = Facts.of(job.model_copy(update={"setups": (on,)}))
    assert facts.counted_ma("SU1", "server", 1) == counted_ma


def test_a_set_up_without_times_may_last() -> None:
    """Unknown length counts as long."""
    job = small_job(region="US", heads={"lamp": amps(10.0)})
    assert Facts.of(job).counted_ma("SU1", "lamp", 1) == 12500


def test_an_unknown_main_is_assumed_and_said_so() -> None:
    """No stated limit gives the region's usual one, marked as assumed."""
    supply = Facts.of(small_job(supply={})).supply
    assert supply.is_assumed
    assert "assumed" in supply.source


def test_a_main_switch_is_no_limit_unless_said() -> None:
    """The rating on an isolator does not limit; on a main breaker it does."""
    switch = {"limit_a": 80.0, "main_switch": {"rating_a": 63.0}}
    breaker = {"limit_a": 80.0, "main_switch": {"rating_a": 63.0, "is_limit": True}}
    assert Facts.of(small_job(supply=switch)).supply.cap_ma == 80000
    assert Facts.of(small_job(supply=breaker)).supply.cap_ma == 63000


def test_contract_has_its_tolerance() -> None:
    """An Italian 3 kW contract lets 3.3 kW through.

    Source: supplier bill guides: available power is the contract plus 10 %.
    """
    job = small_job(region="IT", supply={"contract_w": 3000.0})
    assert Facts.of(job).supply.contract_w == 3300


def test_rewireable_fuse_is_planned_lower() -> None:
    """An old 15 A rewireable fuse is planned at 70 %.

    Source: one gaffer's published habit, 1,200 to 1,300 W on a 15 A, 120 V circuit.
    """
    ways = {"P1": {"fuse_a": 15.0, "rewireable": True, "feeds": "outlets"}, "P2": circuit(10.0)}
    assert Facts.of(small_job(circuits=ways)).circuits["P1"].cap_ma == 10500


def test_feed_chain_and_rcds_of_a_sub_board() -> None:
    """A way on a sub-board is behind its feed and its RCD, and the board's board too."""
    job = small_job(
        circuits={"P1": circuit(10.0, sub_board="shed"), "P2": circuit(10.0)},
        sub_boards={
            "shed": {"feed_a": 16.0, "fed_from": "garage", "rcd": "R1"},
            "garage": {"feed_a": 32.0},
        },
        rcds={"R1": {"trips_at_ma": 30.0}},
    )
    facts = Facts.of(job)
    assert facts.circuits["P1"].feeds == ("shed", "garage")
    assert facts.points["O1"].exposure.rcds == {"R1"}
    assert facts.points["O2"].exposure.feeds == frozenset()


def test_leakage_limits_are_shares_of_the_rating() -> None:
    """30 mA gives a 9 mA guide and may trip from 15 mA.

    Source: BS 7671:2018 regulation 531.3.2 (30 %); IEC 61008-1 (no trip at or below half).
    """
    rcd = Facts.of(small_job(rcds={"R1": {}})).rcds["R1"]
    assert (rcd.guide_ua, rcd.may_trip_ua) == (9000, 15000)


def test_unknown_outlet_might_be_on_every_outlet_circuit() -> None:
    """An outlet nobody traced is exposed to every way that feeds outlets, and to no other."""
    ways = circuits(P1=10.0, P2=10.0) | {"LT": circuit(10.0) | {"feeds": "lighting"}}
    facts = Facts.of(small_job(circuits=ways, outlets={"O1": outlet(None, "lounge")}))
    assert facts.points["O1"].exposure.might_be_on == {"P1", "P2"}
    assert not facts.points["O1"].is_proven


def test_same_and_different_narrow_single_outlets() -> None:
    """Two on one breaker share what both can be; one known to differ loses that circuit."""
    base = {
        "circuits": circuits(P1=10.0, P2=10.0, P3=10.0),
        "outlets": {
            "O1": outlet(None, maybe_on=["P1", "P2"]),
            "O2": outlet(None, maybe_on=["P2", "P3"]),
            "O3": outlet("P3"),
        },
        "setups": [{"id": "SU1"}],
    }
    same = Facts.of(small_job(**base, same_circuit=[["O1", "O2"]]))
    assert possible_circuits(same.job, same.circuits)["O1"] == {"P2"}
    other = Facts.of(small_job(**base, different_circuit=[["O2", "O3"]]))
    assert possible_circuits(other.job, other.circuits)["O2"] == {"P2"}


def test_box_splits_a_five_pin_outlet_into_its_phases() -> None:
    """A three-phase outlet with a box gives one point a phase, on that pole alone."""
    job = small_job(
        supply={"system": "three-phase", "limit_a": 63.0},
        circuits={"S": circuit(32.0, phase=["L1", "L2", "L3"])},
        outlets={"F": outlet("S", plug="cee-32-5pin", sockets=1)},
        boxes={"B": {"inlet": "cee-32-5pin", "outlet": "cee-16", "outlets_per_phase": 2}},
        setups=[{"id": "SU1"}],
    )
    points = Facts.of(job).points
    assert set(points) == {"F", "F/B/L1", "F/B/L2", "F/B/L3"}
    assert points["F/B/L2"].exposure.circuits == {("S", "L2")}
    assert points["F"].poles == 3


def test_plug_follows_the_current_when_nobody_stated_it() -> None:
    """A 12.2 A head has the region's 15 A plug, which no 10 A outlet takes."""
    loads = Facts.of(small_job(heads={"lamp": amps(4.0), "big": amps(12.2)})).loads
    assert (loads["lamp"].plug, loads["big"].plug) == ("au-10", "au-15")
    assert loads["big"].plug_is_assumed


def test_wound_drum_carries_a_third() -> None:
    """A drum nobody counted the layers of keeps 0.35 of its rating.

    Source: BS 7671 table 4F1A note 2, four layers.
    """
    leads = [{"length_m": 20.0, "size_mm2": 1.5, "wound": wound} for wound in (False, True)]
    flat, wound = Facts.of(small_job(leads=leads)).leads
    assert wound.rating_ma == pytest.approx(0.35 * flat.rating_ma, abs=1)


def test_lead_resistance_is_hot_copper_both_ways() -> None:
    """20 m of 1.5 mm² is 2 x 20 x 13.3 mΩ at 20 °C, 15.7 % more at 60 °C.

    Source: IEC 60228 class 5; temperature coefficient 0.00393 (IEC 60028).
    """
    lead = Facts.of(small_job(leads=[{"length_m": 20.0, "size_mm2": 1.5}])).leads[0]
    assert lead.loop_ohm == pytest.approx(0.532 * (1 + 0.00393 * 40), rel=0.002)


def test_big_discharge_heads_by_watts_or_by_mark() -> None:
    """A discharge head from 1,200 W is big; a mark of the job wins either way."""
    heads = {
        "d12": amps(5.0, kind="discharge", lamp_w=1200.0),
        "d8": amps(4.0, kind="discharge", lamp_w=800.0),
        "d8 marked": amps(4.0, kind="discharge", lamp_w=800.0, big=True),
        "led": amps(6.0, kind="led", plate_w=1450.0),
    }
    loads = Facts.of(small_job(heads=heads, setups=[{"id": "SU1"}])).loads
    assert [n for n, load in loads.items() if load.is_big_discharge] == ["d12", "d8 marked"]


@pytest.mark.parametrize(
    ("stated", "is_last_resort", "is_off_limits"),
    [
        ({"maybe_on": ["P1", "P2"]}, False, False),
        ({"maybe_on": ["P2", "P3"]}, True, False),
        ({}, True, False),
        ({"circuit": "P1", "known": "told"}, False, False),
        ({"circuit": "P3", "known": "told"}, True, True),
    ],
)
def test_what_may_be_on_a_circuit_off_limits_is_used_last(
    stated: dict[str, object], *, is_last_resort: bool, is_off_limits: bool
) -> None:
    """The owner said no to P3: where that may be, another outlet is better. Common practice."""
    job = small_job(
        circuits={"P1": circuit(10.0), "P2": circuit(10.0), "P3": circuit(10.0, use="off limits")},
        outlets={"O1": outlet("P1", "lounge"), "O3": {"room": "lounge"} | stated},
    )
    point = Facts.of(job).points["O3"]
    assert (point.is_last_resort, point.is_off_limits) == (is_last_resort, is_off_limits)
