"""Whatever hangs where: more impedance never raises volts, and power balances."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from builders import Entry, amps, circuit, job_of, outlet, setup, small_data
from spreadload.derived.facts import Facts
from spreadload.network.house import House
from spreadload.network.records import Case, Hung

KINDS = ("led", "tungsten", "heater", "discharge", "motor")
HOUSES = st.lists(
    st.tuples(
        st.sampled_from(KINDS),
        st.floats(0.2, 9.0),
        st.floats(0.5, 1.0),
        st.sampled_from(("O1", "O2", "O3")),
    ),
    min_size=1,
    max_size=6,
)


def house_of(loads: list[tuple[str, float, float, str]]) -> tuple[House, list[Hung]]:
    """Return a house with loads of a kind, amps and power factor at outlets."""
    heads: Entry = {
        f"H{n}": amps(current, kind=kind, power_factor=pf)
        for n, (kind, current, pf, _) in enumerate(loads)
    }
    wired = {f"P{n}": circuit(20.0, cable_m=10.0 * n, cable_mm2=2.5) for n in (1, 2)}
    data = small_data(
        circuits=wired,
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed"), "O3": outlet(None)},
        heads=heads,
        setups=[setup(**dict.fromkeys(heads, "lounge"))],
    )
    house = House(Facts.of(job_of(data)))
    hung = [
        Hung(f"H{n}", f"H{n}", 1, at, 1, None, None, 1, frozenset())
        for n, (_, _, _, at) in enumerate(loads)
    ]
    return house, hung


@settings(max_examples=60)
@given(loads=HOUSES, ohm=st.floats(0.05, 0.6), more=st.floats(0.01, 0.4))
def test_more_impedance_never_raises_volts(
    loads: list[tuple[str, float, float, str]], ohm: float, more: float
) -> None:
    """Every unit gets at most what it got on the stiffer supply."""
    house, hung = house_of(loads)
    stiff = house.solve("SU1", hung, (), Case(service_ohm=ohm))
    soft = house.solve("SU1", hung, (), Case(service_ohm=ohm + more))
    assert not stiff.collapse
    for before, after in zip(stiff.units, soft.units, strict=True):
        assert after.volts <= before.volts + 1e-6
    assert soft.board_v <= stiff.board_v + 1e-6


@settings(max_examples=60)
@given(loads=HOUSES, ohm=st.floats(0.05, 0.6))
def test_taking_a_load_away_never_lowers_volts(
    loads: list[tuple[str, float, float, str]], ohm: float
) -> None:
    """Whoever stays on gets at least as much as before."""
    house, hung = house_of(loads)
    case = Case(service_ohm=ohm)
    full = house.solve("SU1", hung, (), case)
    fewer = house.solve("SU1", hung[1:], (), case)
    for before, after in zip(full.units[1:], fewer.units, strict=True):
        assert after.volts >= before.volts - 1e-6


@settings(max_examples=40)
@given(loads=HOUSES)
def test_known_wiring_loses_what_it_does_not_deliver(
    loads: list[tuple[str, float, float, str]],
) -> None:
    """With circuits known, taken and lost watts stay below volts times amps, losses above 0."""
    house, hung = house_of(loads)
    known = [replace(unit, circuits=frozenset({"P1"})) for unit in hung if unit.point != "O2"]
    load = house.solve("SU1", known, ())
    given_va = load.idle_v * load.line_a[0]
    assert load.taken_w + load.losses_w <= given_va * (1 + 1e-9)
    assert load.losses_w >= 0
