"""Published worked examples, answered by the project's own functions or by the handbook's.

Each answer is held to the exact arithmetic and, where the source prints a figure, to that figure.
Sources and status stand beside each example in ``worked_examples.yaml``. What the handbook answers
is an oracle that ours is held to in ``test_against_the_handbook.py``.
"""

from collections.abc import Callable
from math import inf
from pathlib import Path
from typing import Any

import pytest
import yaml

import handbook
from builders import small_job
from spreadload import practice
from spreadload.derived.draw import draw_of, line_to_line_v
from spreadload.derived.facts import Facts
from spreadload.derived.supply import rcd_limits
from spreadload.electrical import drop, generator, neutral, source
from spreadload.electrical.behaviour import LoadClass, current_ratio, power_ratio
from spreadload.electrical.conductors import Strand, at_temperature, loop_ohm, ohm_per_km
from spreadload.electrical.cords import drum_factor
from spreadload.electrical.neutral import LineCurrent, WaveKind
from spreadload.electrical.protection import Device, hold_ratio, instant_band, latest_s
from spreadload.electrical.trip_gates import Curve, DeviceKind
from spreadload.job.kit import Head
from spreadload.units import MILLI, metres

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


def sure_ratio(device: Device) -> float:
    """Return the least multiple of its rating at which a device surely opens, found by halving."""
    low, high = 1.0, 20.0
    while high - low > 1e-9:
        middle = (low + high) / 2
        low, high = (low, middle) if latest_s(device, middle) < inf else (middle, high)
    return high


def amps(power_w: float, voltage_v: float, pf: float = 1.0) -> float:
    """Return what a load of so many watts draws, as a job's loads are worked out."""
    drawn = draw_of(Head(plate_w=power_w, power_factor=pf), voltage_v)
    return drawn.current_a(1, voltage_v, 0.0).likely


def line_amps(power_w: float, between_lines_v: float, pf: float = 1.0) -> float:
    """Return the line current of a balanced three-phase load of so many watts."""
    to_neutral_v = between_lines_v / line_to_line_v(1.0, 3)
    drawn = draw_of(Head(plate_w=power_w, power_factor=pf), to_neutral_v)
    return drawn.current_a(3, to_neutral_v, between_lines_v).likely


def watts(voltage_v: float, amps_a: float, pf: float = 1.0) -> float:
    """Return the watts of a load whose amps were measured."""
    return draw_of(Head(measured_a=amps_a, power_factor=pf), voltage_v).power_w.likely


def volt_amps(power_w: float, pf: float) -> float:
    """Return the volt-amps of a load of so many watts."""
    apparent = draw_of(Head(plate_w=power_w, power_factor=pf), 230.0).apparent_va
    assert apparent is not None
    return apparent.likely


def at_other_volts(i: Inputs) -> float:
    """Return the second current of PVI-03, from the first by how a resistance behaves."""
    first_a = i["voltage_1"] / i["resistance"]
    return first_a * current_ratio(LoadClass.CONSTANT_RESISTANCE, i["voltage_2"] / i["voltage_1"])


def loop(idle_v: float, loaded_v: float, amps_a: float) -> float:
    """Return the impedance that one pair of readings shows."""
    pair = source.ReadingPair(idle_v, loaded_v, amps_a)
    return source.estimate_source([pair], idle_v).loop_ohm


def partial(i: Inputs) -> float:
    """Return the partial-load factor of VD-07."""
    return handbook.partial_load_factor(i["current"], i["rating"], max_c=i["tp"], grouping=i["ca"])


def vd07(i: Inputs) -> float:
    """Return the drop of VD-07, from separate resistive and reactive table values."""
    mv = i["pf"] * partial(i) * i["mvr"] + handbook.sine(i["pf"]) * i["mvx"]
    return handbook.table_drop_v(mv, i["current"], i["length"])


def vd14(i: Inputs) -> tuple[float, float, float]:
    """Return feeder drop between lines, the same to neutral, and the final circuit's drop."""
    feeder_v = handbook.table_drop_v(i["k1"], i["i1"], 1000 * i["l1"])
    final_v = handbook.table_drop_v(i["k2"], i["i2"], 1000 * i["l2"])
    return feeder_v, feeder_v / line_to_line_v(1.0, 3), final_v


def k_drop(i: Inputs, circular_mils: float | None = None) -> float:
    """Return a drop by the K method."""
    return handbook.k_method_drop_v(i["current"], circular_mils or i["cmil"], i["length_ft"])


def mv_drop(i: Inputs) -> float:
    """Return a drop from a printed mV/A/m figure."""
    return handbook.table_drop_v(i["mv_a_m"], i["current"], i["length"])


def vd13(i: Inputs) -> float:
    """Return the cable drop of VD-13."""
    return handbook.table_drop_v(i["k"], i["current"], 1000 * i["length_km"])


def reel(layers: int) -> float:
    """Return what 1.5 mm² flex carries on a drum."""
    return handbook.BS_7671_CORDS_A["1.5"] * drum_factor(layers)


def leakage_ma(share: str, trips_at_ma: float) -> float:
    """Return a limit of an RCD in the United Kingdom."""
    limits = rcd_limits(small_job(region="UK"), "R1", trips_at_ma, None)
    return {"guide": limits.guide_ua, "may trip": limits.may_trip_ua}[share] / MILLI


def leaks_ma(i: Inputs) -> float:
    """Return the leakage of PD-05 as a job's loads are added up: in full."""
    computers = {"kind": "electronics", "plate_w": 300.0, "leakage_ma": i["each"]}
    facts = Facts.of(small_job(departments={"computer": computers | {"count": int(i["n"])}}))
    return facts.loads["computer"].leakage_ua * facts.loads["computer"].count / MILLI


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
    ("PVI-01", "power"): lambda i: watts(i["voltage"], i["current"]),
    ("PVI-02", "current"): lambda i: amps(i["power"], i["voltage"]),
    ("PVI-03", "current_1"): lambda i: i["voltage_1"] / i["resistance"],
    ("PVI-03", "power_1"): lambda i: watts(i["voltage_1"], i["voltage_1"] / i["resistance"]),
    ("PVI-03", "current_2"): at_other_volts,
    ("PVI-03", "power_2"): lambda i: watts(i["voltage_2"], at_other_volts(i)),
    ("PVI-04", "power"): lambda i: watts(i["voltage"], i["current"]),
    ("PVI-04", "resistance"): lambda i: i["voltage"] / i["current"],
    ("PVI-05", "power"): lambda i: watts(i["voltage"], i["current"]),
    ("PF1-01", "current"): lambda i: amps(i["power"], i["voltage"], i["pf"]),
    ("PF1-01", "apparent_power"): lambda i: volt_amps(i["power"], i["pf"]),
    ("PF1-02", "power"): lambda i: watts(i["voltage"], i["current"], i["pf"]),
    ("PF1-02", "apparent_power"): lambda i: watts(i["voltage"], i["current"]),
    ("PF1-03", "current"): lambda i: amps(i["power"], i["voltage"], i["pf"]),
    ("PF1-04", "input_power"): lambda i: i["output_power"] / i["efficiency"],
    ("PF1-04", "current"): lambda i: amps(
        i["output_power"] / i["efficiency"], i["voltage"], i["pf"]
    ),
    ("PF1-05", "current"): lambda i: amps(i["power"], i["voltage"], i["pf"]),
    ("PF1-05", "current_if_pf_ignored"): lambda i: amps(i["power"], i["voltage"]),
    ("PF1-06", "ia"): lambda i: amps(i["pa"], i["voltage"], i["pfa"]),
    ("PF1-06", "ib"): lambda i: amps(i["pb"], i["voltage"], i["pfb"]),
    ("PF1-06", "ic"): lambda i: amps(i["pc"], i["voltage"], i["pfc"]),
    ("PF1-06", "total_power"): lambda i: sum(
        watts(i["voltage"], amps(i[p], i["voltage"], i[f]), i[f])
        for p, f in (("pa", "pfa"), ("pb", "pfb"), ("pc", "pfc"))
    ),
    ("TP-01", "power"): lambda i: i["current"] / line_amps(1.0, i["v_ll"], i["pf"]),
    ("TP-02", "v_phase"): lambda i: i["v_ll"] / line_to_line_v(1.0, 3),
    ("TP-02", "line_current"): lambda i: i["v_ll"] / line_to_line_v(1.0, 3) / i["r_phase"],
    ("TP-02", "power"): lambda i: (
        i["v_ll"] / line_to_line_v(1.0, 3) / i["r_phase"] / line_amps(1.0, i["v_ll"]) / MILLI
    ),
    ("TP-03", "phase_current"): lambda i: amps(i["power"] / 3, i["v_ll"], i["pf"]),
    ("TP-03", "line_current"): lambda i: line_amps(i["power"], i["v_ll"], i["pf"]),
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
    ("ZS-01", "source_resistance"): lambda i: loop(i["v_open"], i["v_load"], i["current"]),
    ("ZS-01", "load_resistance"): lambda i: i["v_load"] / i["current"],
    ("ZS-02", "current"): lambda i: i["v_load"] / i["r_load"],
    ("ZS-02", "source_resistance"): lambda i: loop(
        i["v_open"], i["v_load"], i["v_load"] / i["r_load"]
    ),
    # A source that is charged: the same two points of one line, with the current the other way.
    ("ZS-03", "source_resistance"): lambda i: loop(i["v_terminal"], i["emf"], i["current"]),
    ("ZS-04", "loop_resistance"): lambda i: loop(i["v_open"], i["v_load"], i["current"]),
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
    ("VD-05", "current"): lambda i: amps(i["power"], i["voltage"]),
    ("VD-05", "drop"): lambda i: handbook.table_drop_v(
        i["mv_a_m"], amps(i["power"], i["voltage"]), i["length"]
    ),
    ("VD-05", "drop_percent"): lambda i: drop.drop_pct(
        handbook.table_drop_v(i["mv_a_m"], amps(i["power"], i["voltage"]), i["length"]),
        i["voltage"],
    ),
    ("VD-06", "drop"): mv_drop,
    ("VD-06", "margin"): lambda i: i["limit"] - mv_drop(i),
    ("VD-07", "ct"): partial,
    ("VD-07", "drop"): vd07,
    ("VD-07", "drop_percent"): lambda i: drop.drop_pct(vd07(i), i["v_ll"]),
    ("VD-08", "drop"): mv_drop,
    ("VD-08", "max_mv_a_m_for_10_5_V"): lambda i: 1000 * 10.5 / (i["current"] * i["length"]),
    ("VD-09", "drop"): lambda i: handbook.resistivity_drop_v(i["current"], i["area"], i["length"]),
    ("VD-09", "drop_percent"): lambda i: drop.drop_pct(
        handbook.resistivity_drop_v(i["current"], i["area"], i["length"]),
        i["system"],
    ),
    ("VD-10", "service_low"): lambda i: i["nominal"] * US.band.min_v / US.nominal_v,
    ("VD-10", "service_high"): lambda i: i["nominal"] * US.band.max_v / US.nominal_v,
    ("VD-10", "at_equipment"): lambda i: (
        i["nominal"] * (US.band.min_v / US.nominal_v - US.total_drop_pct.value / 100)
    ),
    ("VD-11", "drop"): mv_drop,
    ("VD-11", "drop_percent"): lambda i: drop.drop_pct(mv_drop(i), 230),
    ("VD-12", "drop_pf1"): lambda i: handbook.annex_g_drop_v(i["current"], i["area"], i["length"]),
    ("VD-12", "drop_pf08"): lambda i: handbook.annex_g_drop_v(
        i["current"], i["area"], i["length"], pf=0.8
    ),
    ("VD-13", "cable_drop"): vd13,
    ("VD-13", "total_drop"): lambda i: i["upstream"] + vd13(i),
    ("VD-13", "total_percent"): lambda i: drop.drop_pct(i["upstream"] + vd13(i), i["v_ll"]),
    ("VD-14", "feeder_line_drop"): lambda i: vd14(i)[0],
    ("VD-14", "feeder_phase_drop"): lambda i: vd14(i)[1],
    ("VD-14", "final_drop"): lambda i: vd14(i)[2],
    ("VD-14", "total"): lambda i: vd14(i)[1] + vd14(i)[2],
    ("VD-14", "total_percent"): lambda i: drop.drop_pct(vd14(i)[1] + vd14(i)[2], 230),
    ("PD-01", "device_1"): lambda i: US.continuous.factor.value * i["load_1"],
    ("PD-01", "device_2"): lambda i: US.continuous.factor.value * i["load_2"],
    ("PD-02", "non_fusing_30_min"): lambda i: (
        i["rating"] * hold_ratio(Device(DeviceKind.PLUG_FUSE, i["rating"]))
    ),
    ("PD-02", "fusing_30_min"): lambda i: (
        i["rating"] * sure_ratio(Device(DeviceKind.PLUG_FUSE, i["rating"]))
    ),
    ("PD-03", "allowance"): lambda i: leakage_ma("guide", i["idn"]),
    ("PD-03", "must_not_trip_at_or_below"): lambda i: leakage_ma("may trip", i["idn"]),
    ("PD-03", "must_trip_at_or_above"): lambda i: i["idn"],
    ("PD-05", "arithmetic_sum"): leaks_ma,
    ("PD-05", "likely_low"): lambda i: 0.7 * leaks_ma(i),
    ("PD-05", "likely_high"): lambda i: 0.8 * leaks_ma(i),
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
    ("LP-01", "new_power"): lambda i: i["power"] * handbook.halogen_power_ratio(i["ratio"]),
    ("LP-01", "new_voltage"): lambda i: i["voltage"] * handbook.halogen_voltage_ratio(i["ratio"]),
    ("LP-02", "power_exp_1_6"): lambda i: i["power"] * power_ratio(LoadClass.TUNGSTEN, i["ratio"]),
    ("LP-02", "power_exp_1_53"): lambda i: (
        i["power"] * handbook.halogen_power_ratio(i["ratio"] ** (1 / 1.9))
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
    assert len(EXAMPLES) == 56
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
