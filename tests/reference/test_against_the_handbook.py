"""Our cables, cords and lamps beside formulas of the handbooks that reckon another way."""

import pytest

import handbook
from spreadload import practice
from spreadload.electrical.behaviour import LoadClass, current_ratio, power_ratio
from spreadload.electrical.conductors import Strand, conductor, loop_impedance_ohm, loop_ohm
from spreadload.electrical.cords import CordFamily, cord_rating_a
from spreadload.electrical.loadflow import Flow, FlowLoad, load_flow
from spreadload.electrical.source import assumed_loop_ohm
from spreadload.electrical.tree import Branch, Wiring, build_tree
from spreadload.units import FOOT_M

METRIC = [1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0]
MILS_PER_MM2 = 1973.525  # a circular mil is π/4 thousandths of an inch squared: definition


@pytest.mark.reference
@pytest.mark.parametrize("pf", [1.0, 0.8])
@pytest.mark.parametrize("area_mm2", METRIC)
def test_fixed_wiring_drops_what_annex_g_says(area_mm2: float, pf: float) -> None:
    """IEC 60228 at 70 °C and the annex's rounded 0.0225 Ω·mm²/m agree within 5 %."""
    loop = loop_impedance_ohm(area_mm2, 30.0, strand=Strand.FIXED)
    ours_v = 20.0 * (loop.real * pf + loop.imag * handbook.sine(pf))
    assert ours_v == pytest.approx(handbook.annex_g_drop_v(20.0, area_mm2, 30.0, pf=pf), rel=0.05)


@pytest.mark.reference
def test_a_balanced_run_returns_nothing_in_its_neutral() -> None:
    """The load flow on three phases drops what annex G says for three: one way, not two."""
    area_mm2, length_m, current_a = 2.5, 20.0, 10.0
    ohm = loop_impedance_ohm(area_mm2, length_m, strand=Strand.FIXED) / 2
    tree = build_tree(Wiring.THREE_PHASE, [Branch("end", "source", ohm, ohm)])
    loads = [
        FlowLoad(f"l{n}", "end", current_a * 230.0, 230.0, (n,), LoadClass.CONSTANT_RESISTANCE)
        for n in range(3)
    ]
    flow = load_flow(tree, 230.0, loads)
    assert isinstance(flow, Flow)
    dropped_v = 230.0 - flow.volts("end")
    theirs_v = handbook.annex_g_drop_v(flow.amps("end"), area_mm2, length_m, three_phase=True)
    assert dropped_v == pytest.approx(theirs_v, rel=0.05)
    assert theirs_v == pytest.approx(
        handbook.annex_g_drop_v(flow.amps("end"), area_mm2, length_m) / 2
    )


@pytest.mark.reference
@pytest.mark.parametrize("area_mm2", METRIC)
def test_copper_at_twenty_degrees_is_never_taken_for_better_than_it_is(area_mm2: float) -> None:
    """IEC 60228 allows a little more than resistivity over area (IEC 60028), and no less."""
    ours_v = 10.0 * loop_ohm(area_mm2, 25.0, temp_c=20.0, strand=Strand.FIXED)
    theirs_v = handbook.resistivity_drop_v(10.0, area_mm2, 25.0)
    assert theirs_v <= ours_v <= 1.08 * theirs_v


@pytest.mark.reference
@pytest.mark.parametrize("size", ["14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG"])
def test_gauges_drop_what_the_k_method_says(size: str) -> None:
    """Chapter 9 table 8 at 75 °C and K = 12.9 agree within 3 %."""
    mils = conductor(size).area_mm2 * MILS_PER_MM2
    ours_v = 12.0 * loop_ohm(size, 100 * FOOT_M, temp_c=75.0)
    assert ours_v == pytest.approx(handbook.k_method_drop_v(12.0, mils, 100.0), rel=0.03)


@pytest.mark.reference
def test_flex_drops_what_its_table_says() -> None:
    """BS 7671 table 4F3B prints 46 mV/A/m for 1 mm²; ours at 60 °C is within 3 %."""
    assert 10.0 * loop_ohm("1", 25.0) == pytest.approx(
        handbook.table_drop_v(46.0, 10.0, 25.0), rel=0.03
    )


@pytest.mark.reference
@pytest.mark.parametrize(("size", "rated_a"), handbook.BS_7671_CORDS_A.items())
def test_no_lead_is_rated_above_bs_7671(size: str, rated_a: float) -> None:
    """The appliance-cord ratings that leads go by are the stricter of the two."""
    assert cord_rating_a(size, CordFamily.APPLIANCE) <= rated_a


@pytest.mark.reference
@pytest.mark.parametrize("amps_ratio", [0.9, 0.95, 0.98, 1.02])
def test_tungsten_behaves_as_the_optics_guide_says(amps_ratio: float) -> None:
    """V^0.55 and V^1.55 of the rerating rule beside I^1.9 and I^2.9 of the guide: within 2 %."""
    volts_ratio = handbook.halogen_voltage_ratio(amps_ratio)
    watts_ratio = handbook.halogen_power_ratio(amps_ratio)
    assert current_ratio(LoadClass.TUNGSTEN, volts_ratio) == pytest.approx(amps_ratio, rel=0.02)
    assert power_ratio(LoadClass.TUNGSTEN, volts_ratio) == pytest.approx(watts_ratio, rel=0.02)


@pytest.mark.reference
def test_american_devices_carry_a_quarter_more_than_a_continuous_load() -> None:
    """NEC 210.20(A): 16 A for three hours needs a 20 A device."""
    assert 16 * practice.region("US").continuous.factor.value == 20


@pytest.mark.reference
def test_an_american_supply_nobody_read_is_an_old_and_long_one() -> None:
    """One leg and neutral of a small transformer, a long secondary and a thin service drop.

    Source: a fault from one leg of a centre-tapped transformer to its neutral carries about 1.5
    times what one from leg to leg does (fuse makers' fault-current guides); NEC chapter 9 table 8,
    aluminium at 75 °C: 1/0 AWG 0.201 and 4 AWG 0.508 Ω per 1,000 ft; both from memory.
    """
    legs_a = 10_000 / 240 / 0.02
    transformer_ohm = 120 / (1.5 * legs_a)
    wires_ohm = 2 * (0.150 * 0.201 + 0.100 * 0.508)
    assert assumed_loop_ohm(120.0) == pytest.approx(transformer_ohm + wires_ohm, abs=0.005)
