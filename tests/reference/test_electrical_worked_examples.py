"""Published worked examples, answered by the project's own functions.

Each answer is held to the exact arithmetic and, where the source prints a figure, to that figure.
Sources and status stand beside each example in ``worked_examples.yaml``.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from spreadload import practice
from spreadload.electrical import drop, generator, grouping, leakage, neutral, power, source
from spreadload.electrical.behaviour import (
    LoadClass,
    current_ratio,
    halogen_power_ratio,
    halogen_voltage_ratio,
    power_ratio,
)
from spreadload.electrical.conductors import Strand, at_temperature, loop_ohm, ohm_per_km
from spreadload.electrical.cords import CordFamily, cord_rating_a
from spreadload.electrical.neutral import LineCurrent, WaveKind
from spreadload.electrical.protection import Device, hold_ratio, instant_band, sure_ratio
from spreadload.electrical.trip_gates import Curve, DeviceKind
from spreadload.units import metres

Inputs = dict[str, float]
US = practice.region("US")
EXAMPLES: list[dict[str, Any]] = yaml.safe_load(
    (Path(__file__).parent / "worked_examples.yaml").read_text()
)["examples"]


def neutral_of(*amps_a: float) -> float:
    """Return the neutral current of lines at power factor 1."""
    return neutral.neutral_current_a([LineCurrent(each) for each in amps_a])


def band(device: Device) -> tuple[float, float]:
    """Return the instantaneous band of a breaker in amps."""
    found = instant_band(device)
    assert found is not None
    return found.low * device.rated_a, found.high * device.rated_a


def mcb(curve: str, rated_a: float) -> Device:
    """Return a breaker to IEC 60898-1."""
    return Device(DeviceKind.MCB, rated_a, Curve(curve))


def reel(layers: int) -> float:
    """Return what 1.5 mm² flex carries on a drum."""
    return cord_rating_a("1.5", CordFamily.BS_7671, wound=True, layers=layers)


def partial(i: Inputs) -> float:
    """Return the partial-load factor of VD-07."""
    return drop.partial_load_factor(i["current"], i["rating"], max_c=i["tp"], grouping=i["ca"])


def vd07(i: Inputs) -> float:
    """Return the drop of VD-07."""
    return drop.table_drop_with_reactance_v(
        partial(i) * i["mvr"], i["mvx"], i["current"], i["length"], i["pf"]
    )


def vd14(i: Inputs) -> tuple[float, float, float]:
    """Return feeder drop between lines, the same to neutral, and the final circuit's drop."""
    feeder_v = drop.table_drop_v(i["k1"], i["i1"], 1000 * i["l1"])
    final_v = drop.table_drop_v(i["k2"], i["i2"], 1000 * i["l2"])
    return feeder_v, power.line_to_neutral_v(feeder_v), final_v


def k_drop(i: Inputs, circular_mils: float | None = None) -> float:
    """Return a drop by the K method with the project's own K."""
    return drop.k_method_drop_v(i["current"], circular_mils or i["cmil"], i["length_ft"])


def mv_drop(i: Inputs) -> float:
    """Return a drop from a printed mV/A/m figure."""
    return drop.table_drop_v(i["mv_a_m"], i["current"], i["length"])


def leaks(i: Inputs) -> leakage.LeakageVerdict:
    """Return the leakage of PD-05."""
    return leakage.leakage_verdict([i["each"]] * int(i["n"]), leakage.rcd(30))


def own_pf_neutral(i: Inputs) -> float:
    """Return the neutral of NU-06 by phasors."""
    return neutral.neutral_current_a([LineCurrent(i[f"i{line}"], i[f"pf{line}"]) for line in "abc"])


def gn02(i: Inputs) -> tuple[float, float]:
    """Return running and peak watts of GN-02."""
    loads = [generator.GeneratorLoad(i[name]) for name in ("fan", "lamps", "charging")]
    return generator.running_and_peak_w(
        [*loads, generator.GeneratorLoad(i["fridge"], extra_start_w=i["surge"])]
    )


def at_20c(size: str, strand: Strand, length_m: float) -> float:
    """Return the loop resistance of a run at 20 °C."""
    return loop_ohm(size, length_m, temp_c=20, strand=strand)


def one_core(size: str, length_m: float) -> float:
    """Return the resistance of one core of flex at 20 °C."""
    return ohm_per_km(size, temp_c=20) * length_m / 1000


def triplens(i: Inputs) -> float:
    """Return the neutral of NU-05, through the function that also takes the phasors."""
    lines = [LineCurrent(i["h1"])] * 3
    each = neutral.rms((i["h3"], i["h9"]))
    return neutral.neutral_with_triplens_a(lines, [each] * 3)


ANSWERS: dict[tuple[str, str], Callable[[Inputs], float]] = {
    ("PVI-01", "power"): lambda i: power.power_w(i["voltage"], i["current"]),
    ("PVI-02", "current"): lambda i: power.current_a(i["power"], i["voltage"]),
    ("PVI-03", "current_1"): lambda i: power.resistive_current_a(i["voltage_1"], i["resistance"]),
    ("PVI-03", "power_1"): lambda i: power.power_w(
        i["voltage_1"], power.resistive_current_a(i["voltage_1"], i["resistance"])
    ),
    ("PVI-03", "current_2"): lambda i: power.resistive_current_a(i["voltage_2"], i["resistance"]),
    ("PVI-03", "power_2"): lambda i: power.power_w(
        i["voltage_2"], power.resistive_current_a(i["voltage_2"], i["resistance"])
    ),
    ("PVI-04", "power"): lambda i: power.power_w(i["voltage"], i["current"]),
    ("PVI-04", "resistance"): lambda i: power.resistance_ohm(i["voltage"], i["current"]),
    ("PVI-05", "power"): lambda i: power.power_w(i["voltage"], i["current"]),
    ("PF1-01", "current"): lambda i: power.current_a(i["power"], i["voltage"], i["pf"]),
    ("PF1-01", "apparent_power"): lambda i: power.apparent_power_va(i["power"], i["pf"]),
    ("PF1-02", "power"): lambda i: power.power_w(i["voltage"], i["current"], i["pf"]),
    ("PF1-02", "apparent_power"): lambda i: power.power_w(i["voltage"], i["current"]),
    ("PF1-03", "current"): lambda i: power.current_a(i["power"], i["voltage"], i["pf"]),
    ("PF1-04", "input_power"): lambda i: power.input_power_w(i["output_power"], i["efficiency"]),
    ("PF1-04", "current"): lambda i: power.current_a(
        power.input_power_w(i["output_power"], i["efficiency"]), i["voltage"], i["pf"]
    ),
    ("PF1-05", "current"): lambda i: power.current_a(i["power"], i["voltage"], i["pf"]),
    ("PF1-05", "current_if_pf_ignored"): lambda i: power.current_a(i["power"], i["voltage"]),
    ("PF1-06", "ia"): lambda i: power.current_a(i["pa"], i["voltage"], i["pfa"]),
    ("PF1-06", "ib"): lambda i: power.current_a(i["pb"], i["voltage"], i["pfb"]),
    ("PF1-06", "ic"): lambda i: power.current_a(i["pc"], i["voltage"], i["pfc"]),
    ("PF1-06", "total_power"): lambda i: sum(
        power.power_w(i["voltage"], power.current_a(i[p], i["voltage"], i[f]), i[f])
        for p, f in (("pa", "pfa"), ("pb", "pfb"), ("pc", "pfc"))
    ),
    ("TP-01", "power"): lambda i: power.three_phase_power_w(i["v_ll"], i["current"], i["pf"]),
    ("TP-02", "v_phase"): lambda i: power.line_to_neutral_v(i["v_ll"]),
    ("TP-02", "line_current"): lambda i: power.resistive_current_a(
        power.line_to_neutral_v(i["v_ll"]), i["r_phase"]
    ),
    ("TP-02", "power"): lambda i: (
        power.three_phase_power_w(
            i["v_ll"],
            power.resistive_current_a(power.line_to_neutral_v(i["v_ll"]), i["r_phase"]),
        )
        / 1000
    ),
    ("TP-03", "phase_current"): lambda i: power.delta_branch_current_a(
        i["power"], i["v_ll"], i["pf"]
    ),
    ("TP-03", "line_current"): lambda i: power.three_phase_current_a(
        i["power"], i["v_ll"], i["pf"]
    ),
    ("SP-01", "neutral"): lambda i: neutral_of(i["leg_a"], i["leg_b"]),
    ("SP-02", "neutral"): lambda i: neutral_of(i["leg_a"], i["leg_b"]),
    ("SP-03", "neutral_15_5"): lambda i: neutral_of(i["a1"], i["b1"]),
    ("SP-03", "neutral_15_15"): lambda i: neutral_of(i["a2"], i["b2"]),
    ("SP-03", "neutral_same_leg"): lambda i: neutral_of(i["a2"] + i["b2"], 0),
    ("NU-01", "neutral"): lambda i: neutral_of(i["a"], i["b"], i["c"]),
    ("NU-02", "neutral"): lambda i: neutral_of(i["a"], i["b"], i["c"]),
    ("NU-03", "neutral"): lambda i: neutral_of(i["a"], i["b"], i["c"]),
    ("NU-04", "neutral"): lambda i: neutral_of(i["a"], i["b"], i["c"]),
    ("NU-04", "wrong_published_value"): lambda i: neutral_of(i["a"], i["b"], i["c"]),
    ("NU-05", "neutral_rms"): triplens,
    ("NU-05", "phase_rms"): lambda i: neutral.rms(list(i.values())),
    ("NU-06", "neutral"): own_pf_neutral,
    ("NU-06", "neutral_if_angles_ignored"): lambda i: neutral.equal_pf_neutral_a(
        i["ia"], i["ib"], i["ic"]
    ),
    ("ZS-01", "source_resistance"): lambda i: source.source_ohm(
        i["v_open"], i["v_load"], i["current"]
    ),
    ("ZS-01", "load_resistance"): lambda i: power.resistance_ohm(i["v_load"], i["current"]),
    ("ZS-02", "current"): lambda i: power.resistive_current_a(i["v_load"], i["r_load"]),
    ("ZS-02", "source_resistance"): lambda i: source.source_ohm(
        i["v_open"], i["v_load"], power.resistive_current_a(i["v_load"], i["r_load"])
    ),
    ("ZS-03", "source_resistance"): lambda i: source.source_ohm(
        i["emf"], i["v_terminal"], -i["current"]
    ),
    ("ZS-04", "loop_resistance"): lambda i: (
        source.estimate_source(
            [source.ReadingPair(i["v_open"], i["v_load"], i["current"])], 230
        ).loop_ohm
    ),
    ("ZS-04", "drop_percent_of_230"): lambda i: drop.drop_pct(i["v_open"] - i["v_load"], 230),
    ("RC-01", "r_1_5_at_5m"): lambda _: one_core("1.5", 5),
    ("RC-01", "r_1_5_at_20m"): lambda _: one_core("1.5", 20),
    ("RC-01", "r_1_5_at_45m"): lambda _: one_core("1.5", 45),
    ("RC-01", "r_2_5_at_20m"): lambda _: one_core("2.5", 20),
    ("RC-02", "loop_50m_flex"): lambda _: at_20c("1.5", Strand.FLEXIBLE, 50),
    ("RC-02", "loop_15m_solid"): lambda _: at_20c("1.5", Strand.FIXED, 15),
    ("RC-03", "r2_source_method"): lambda i: at_temperature(i["r1"], i["t1"], i["t2"]),
    ("RC-03", "r2_234_5_method"): lambda i: at_temperature(i["r1"], i["t1"], i["t2"]),
    ("RC-04", "factor_up"): lambda i: at_temperature(1, 20, i["t"]),
    ("RC-04", "factor_down"): lambda i: at_temperature(1, i["t"], 20),
    ("RC-04", "factor_up_234_5"): lambda i: at_temperature(1, 20, i["t"]),
    ("VD-01", "drop"): lambda i: (
        i["current"] * loop_ohm("16 AWG", metres(i["length_ft"]), temp_c=75)
    ),
    ("VD-01", "drop_percent"): lambda i: drop.drop_pct(
        i["current"] * loop_ohm("16 AWG", metres(i["length_ft"]), temp_c=75), i["system"]
    ),
    ("VD-02", "drop"): k_drop,
    ("VD-02", "drop_percent"): lambda i: drop.drop_pct(k_drop(i), i["system"]),
    ("VD-03", "drop"): k_drop,
    ("VD-03", "drop_percent"): lambda i: drop.drop_pct(k_drop(i), i["system"]),
    ("VD-04", "drop_14awg"): lambda i: k_drop(i, 4110),
    ("VD-04", "drop_10awg"): lambda i: k_drop(i, 10380),
    ("VD-04", "drop_6awg"): lambda i: k_drop(i, 26240),
    ("VD-05", "current"): lambda i: power.current_a(i["power"], i["voltage"]),
    ("VD-05", "drop"): lambda i: drop.table_drop_v(
        i["mv_a_m"], power.current_a(i["power"], i["voltage"]), i["length"]
    ),
    ("VD-05", "drop_percent"): lambda i: drop.drop_pct(
        drop.table_drop_v(i["mv_a_m"], power.current_a(i["power"], i["voltage"]), i["length"]),
        i["voltage"],
    ),
    ("VD-06", "drop"): mv_drop,
    ("VD-06", "margin"): lambda i: i["limit"] - mv_drop(i),
    ("VD-07", "ct"): partial,
    ("VD-07", "drop"): vd07,
    ("VD-07", "drop_percent"): lambda i: drop.drop_pct(vd07(i), i["v_ll"]),
    ("VD-08", "drop"): mv_drop,
    ("VD-08", "max_mv_a_m_for_10_5_V"): lambda i: drop.largest_table_mv(
        10.5, i["current"], i["length"]
    ),
    ("VD-09", "drop"): lambda i: drop.resistivity_drop_v(
        i["current"], i["area"], i["length"], drop.COPPER_20C_OHM_MM2_PER_M.value
    ),
    ("VD-09", "drop_percent"): lambda i: drop.drop_pct(
        drop.resistivity_drop_v(
            i["current"], i["area"], i["length"], drop.COPPER_20C_OHM_MM2_PER_M.value
        ),
        i["system"],
    ),
    ("VD-10", "service_low"): lambda i: i["nominal"] * US.band.min_v / US.nominal_v,
    ("VD-10", "service_high"): lambda i: i["nominal"] * US.band.max_v / US.nominal_v,
    ("VD-10", "at_equipment"): lambda i: (
        i["nominal"] * (US.band.min_v / US.nominal_v - US.total_drop_pct.value / 100)
    ),
    ("VD-11", "drop"): mv_drop,
    ("VD-11", "drop_percent"): lambda i: drop.drop_pct(mv_drop(i), 230),
    ("VD-12", "drop_pf1"): lambda i: drop.annex_g_drop_v(i["current"], i["area"], i["length"]),
    ("VD-12", "drop_pf08"): lambda i: drop.annex_g_drop_v(
        i["current"], i["area"], i["length"], pf=0.8
    ),
    ("VD-13", "cable_drop"): lambda i: drop.table_drop_v(
        i["k"], i["current"], 1000 * i["length_km"]
    ),
    ("VD-13", "total_drop"): lambda i: (
        i["upstream"] + drop.table_drop_v(i["k"], i["current"], 1000 * i["length_km"])
    ),
    ("VD-13", "total_percent"): lambda i: drop.drop_pct(
        i["upstream"] + drop.table_drop_v(i["k"], i["current"], 1000 * i["length_km"]), i["v_ll"]
    ),
    ("VD-14", "feeder_line_drop"): lambda i: vd14(i)[0],
    ("VD-14", "feeder_phase_drop"): lambda i: vd14(i)[1],
    ("VD-14", "final_drop"): lambda i: vd14(i)[2],
    ("VD-14", "total"): lambda i: vd14(i)[1] + vd14(i)[2],
    ("VD-14", "total_percent"): lambda i: drop.drop_pct(vd14(i)[1] + vd14(i)[2], 230),
    ("PD-01", "device_1"): lambda i: grouping.continuous_device_a(i["load_1"]),
    ("PD-01", "device_2"): lambda i: grouping.continuous_device_a(i["load_2"]),
    ("PD-02", "non_fusing_30_min"): lambda i: (
        i["rating"] * hold_ratio(Device(DeviceKind.PLUG_FUSE, i["rating"]))
    ),
    ("PD-02", "fusing_30_min"): lambda i: (
        i["rating"] * sure_ratio(Device(DeviceKind.PLUG_FUSE, i["rating"]))
    ),
    ("PD-03", "allowance"): lambda i: leakage.rcd(i["idn"]).guide_ma,
    ("PD-03", "must_not_trip_at_or_below"): lambda i: leakage.rcd(i["idn"]).may_trip_ma,
    ("PD-03", "must_trip_at_or_above"): lambda i: leakage.rcd(i["idn"]).must_trip_ma,
    ("PD-04", "t_at_6_mA"): lambda i: leakage.gfci_latest_s(i["i_low"]) or 0,
    ("PD-04", "t_at_264_mA"): lambda i: leakage.gfci_latest_s(i["i_high"]) or 0,
    ("PD-05", "arithmetic_sum"): lambda i: leaks(i).sum_ma,
    ("PD-05", "likely_low"): lambda i: leaks(i).likely_low_ma,
    ("PD-05", "likely_high"): lambda i: leaks(i).likely_high_ma,
    ("PD-06", "b16_non_trip_1h"): lambda i: i["b"] * hold_ratio(mcb("B", i["b"])),
    ("PD-06", "b16_trip_1h"): lambda i: i["b"] * sure_ratio(mcb("B", i["b"])),
    ("PD-06", "b16_instant_low"): lambda i: band(mcb("B", i["b"]))[0],
    ("PD-06", "b16_instant_high"): lambda i: band(mcb("B", i["b"]))[1],
    ("PD-06", "c20_non_trip_1h"): lambda i: i["c"] * hold_ratio(mcb("C", i["c"])),
    ("PD-06", "c20_trip_1h"): lambda i: i["c"] * sure_ratio(mcb("C", i["c"])),
    ("PD-06", "c20_instant_low"): lambda i: band(mcb("C", i["c"]))[0],
    ("PD-06", "c20_instant_high"): lambda i: band(mcb("C", i["c"]))[1],
    ("PD-07", "one_layer"): lambda _: reel(1),
    ("PD-07", "two_layers"): lambda _: reel(2),
    ("PD-07", "three_layers"): lambda _: reel(3),
    ("PD-07", "four_layers"): lambda _: reel(4),
    ("LP-01", "new_current"): lambda i: i["current"] * i["ratio"],
    ("LP-01", "new_power"): lambda i: i["power"] * halogen_power_ratio(i["ratio"]),
    ("LP-01", "new_voltage"): lambda i: i["voltage"] * halogen_voltage_ratio(i["ratio"]),
    ("LP-02", "power_exp_1_6"): lambda i: i["power"] * power_ratio(LoadClass.TUNGSTEN, i["ratio"]),
    ("LP-02", "power_exp_1_53"): lambda i: (
        i["power"] * halogen_power_ratio(i["ratio"] ** (1 / 1.9))
    ),
    ("LP-02", "current_factor_exp_0_55"): lambda i: current_ratio(LoadClass.TUNGSTEN, i["ratio"]),
    ("GN-01", "combined"): lambda _: generator.derating_factor(2000, 45),
    ("GN-01", "kw_of_a_5_kw_set"): lambda _: 5 * generator.derating_factor(2000, 45),
    ("GN-02", "running"): lambda i: gn02(i)[0],
    ("GN-02", "peak"): lambda i: gn02(i)[1],
    ("GN-03", "total"): lambda i: generator.running_and_peak_w(
        [generator.GeneratorLoad(i["running"], extra_start_w=i["extra_start"])]
    )[1],
}
# Figures a careful answer must not reproduce, with why.
TRAPS = {
    ("NU-04", "wrong_published_value"): "a sign slip in a copied post",
    ("RC-03", "r2_source_method"): "a 20 °C coefficient used from a 24.5 °C base",
    ("LP-02", "power_exp_1_6"): "cannot hold together with I as V^0.55",
}
EXPECTED = {
    (example["id"], answer["name"]): (example, answer)
    for example in EXAMPLES
    for answer in example["expected"]
}


def test_every_answer_of_every_example_is_asked_for() -> None:
    """No example and no answer is left out, and none is asked that is not there."""
    assert len(EXAMPLES) == 57
    assert set(ANSWERS) == set(EXPECTED)


@pytest.mark.reference
@pytest.mark.parametrize("key", sorted(EXPECTED), ids="/".join)
def test_a_worked_example(key: tuple[str, str]) -> None:
    """Our function gives the exact value and the printed one, or keeps clear of a known trap."""
    example, answer = EXPECTED[key]
    inputs = {name: each["value"] for name, each in example["inputs"].items()}
    found = ANSWERS[key](inputs)
    near = found == pytest.approx(answer["value"], abs=answer["tolerance"])
    assert near is (key not in TRAPS)
    if "published" in answer and key not in TRAPS:
        assert found == pytest.approx(answer["published"], abs=answer["tolerance"])


def test_triplens_add_in_the_neutral_while_balanced_sines_cancel() -> None:
    """Uncorrected electronics load the neutral of a balanced supply; sines leave it empty."""
    one = LineCurrent(10)
    assert neutral.neutral_by_kind_a([{WaveKind.SINE: one}] * 3) == pytest.approx(0, abs=1e-12)
    dirty = neutral.neutral_by_kind_a([{WaveKind.UNCORRECTED: one}] * 3)
    assert dirty == pytest.approx(17.3, abs=0.05)
