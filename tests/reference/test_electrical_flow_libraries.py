"""The load flow against two general network libraries and a published feeder.

power-grid-model and pandapower solve the same networks by Newton's method on their own equations.
A single-phase network is their balanced one with the phase voltage as rated voltage and the loop
impedance as line impedance; a four-wire network is their unbalanced one with a zero-sequence
impedance of phase plus three times neutral, behind a source of no impedance.
"""

import warnings
from importlib import import_module
from random import Random
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.loadflow import Flow, FlowLoad, load_flow
from spreadload.electrical.tree import Branch, Wiring, build_tree
from textbook_sweep import random_branches, random_loads

pytestmark = pytest.mark.reference

VOLTS_WITHIN = 1e-4
LOSSES_WITHIN = 1e-6
SOURCE_V = 230.0
PGM_TYPES = {LoadClass.CONSTANT_POWER: 0, LoadClass.CONSTANT_RESISTANCE: 1}
LINES: list[tuple[int, ...]] = [(0,), (1,), (2,)]


def flow_of(wiring: Wiring, branches: list[Branch], source_v: float, loads: list[FlowLoad]) -> Flow:
    """Return our flow, which must have found its volts."""
    flow = load_flow(build_tree(wiring, branches), source_v, loads)
    assert isinstance(flow, Flow)
    return flow


def reactive(load: FlowLoad) -> float:
    """Return the reactive volt-amps of a load at its rated volts."""
    return float((-1 if load.leads else 1) * load.power_w * np.tan(np.arccos(load.pf)))


def pgm_input(
    branches: list[Branch], loads: list[FlowLoad], rated_v: float, *, four_wire: bool
) -> dict[str, Any]:
    """Return the network as power-grid-model's own arrays; node 0 is the source."""
    import power_grid_model as pgm  # noqa: PLC0415 - slow to import, used in this file only

    place = {"source": 0} | {branch.node: i for i, branch in enumerate(branches, start=1)}
    node = pgm.initialize_array("input", "node", len(place))
    node["id"] = np.arange(len(place))
    node["u_rated"] = rated_v
    line = pgm.initialize_array("input", "line", len(branches))
    line["id"] = 1000 + np.arange(len(branches))
    line["from_node"] = [place[branch.parent] for branch in branches]
    line["to_node"] = [place[branch.node] for branch in branches]
    line["from_status"] = line["to_status"] = 1
    own = np.array([branch.line_ohm for branch in branches])
    back = np.array([branch.neutral_ohm for branch in branches])
    loop = own if four_wire else own + back
    line["r1"], line["x1"] = loop.real, loop.imag
    line["r0"], line["x0"] = (own + 3 * back).real, (own + 3 * back).imag
    line["c1"] = line["tan1"] = line["c0"] = line["tan0"] = 0
    kind = "asym_load" if four_wire else "sym_load"
    load = pgm.initialize_array("input", kind, len(loads))
    load["id"] = 2000 + np.arange(len(loads))
    load["node"] = [place[each.node] for each in loads]
    load["status"] = 1
    load["type"] = [PGM_TYPES[each.load_class] for each in loads]
    watts: Any = np.array([each.power_w for each in loads])
    vars_: Any = np.array([reactive(each) for each in loads])
    if four_wire:
        phase = np.eye(3)[[each.lines[0] for each in loads]]
        watts, vars_ = phase * watts[:, None], phase * vars_[:, None]
    load["p_specified"], load["q_specified"] = watts, vars_
    feed = pgm.initialize_array("input", "source", 1)
    feed["id"], feed["node"], feed["status"], feed["u_ref"], feed["sk"] = 9000, 0, 1, 1, 1e18
    return {"node": node, "line": line, kind: load, "source": feed}


def pgm_answer(data: dict[str, Any], *, four_wire: bool) -> tuple[Any, float]:
    """Return volts per node (and phase) and losses by power-grid-model."""
    import power_grid_model as pgm  # noqa: PLC0415

    result = pgm.PowerGridModel(data).calculate_power_flow(
        symmetric=not four_wire, error_tolerance=1e-11, max_iterations=100
    )
    lines = result["line"]
    return result["node"]["u"], float((lines["p_from"] + lines["p_to"]).sum())


def test_single_phase_trees_agree_with_power_grid_model() -> None:
    """On 500 random single-phase trees volts agree within 1e-4 V and losses within 1e-6."""
    for seed in range(500):
        random = Random(seed)
        nodes = random.randint(2, 40)
        branches = random_branches(random, nodes, neutral=True)
        loads = random_loads(random, nodes, random.randint(1, 20), list(PGM_TYPES), [(0,)])
        flow = flow_of(Wiring.SINGLE_PHASE, branches, SOURCE_V, loads)
        data = pgm_input(branches, loads, SOURCE_V, four_wire=False)
        volts, losses_w = pgm_answer(data, four_wire=False)
        ours = [flow.volts(branch.node) for branch in branches]
        assert np.abs(volts[1:] - ours).max() < VOLTS_WITHIN, seed
        assert flow.losses_w == pytest.approx(losses_w, rel=LOSSES_WITHIN), seed


def test_four_wire_trees_agree_with_power_grid_model() -> None:
    """On 200 random unbalanced four-wire trees volts and losses agree as closely."""
    for seed in range(200):
        random = Random(1000 + seed)
        nodes = random.randint(2, 30)
        branches = random_branches(random, nodes, neutral=True)
        loads = random_loads(random, nodes, random.randint(2, 20), list(PGM_TYPES), LINES)
        flow = flow_of(Wiring.THREE_PHASE, branches, SOURCE_V, loads)
        data = pgm_input(branches, loads, SOURCE_V * 3**0.5, four_wire=True)
        volts, losses_w = pgm_answer(data, four_wire=True)
        ours = [[flow.volts(branch.node, line) for line in range(3)] for branch in branches]
        assert np.abs(volts[1:] - ours).max() < VOLTS_WITHIN, seed
        assert flow.losses_w == pytest.approx(losses_w, rel=LOSSES_WITHIN), seed


@pytest.fixture(name="pp")
def pandapower() -> ModuleType:
    """Return pandapower, imported with its own deprecation noise kept out of our warnings."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import_module("pandapower.networks")
        return import_module("pandapower")


def pandapower_net(
    pp: ModuleType, trees: list[list[Branch]], rated_kv: float
) -> tuple[Any, list[dict[str, int]]]:
    """Return all trees as islands of one pandapower network, each with its bus of each node."""
    net = pp.create_empty_network(sn_mva=0.01)
    buses = []
    for branches in trees:
        names = ["source", *(branch.node for branch in branches)]
        made = pp.create_buses(net, len(names), vn_kv=rated_kv)
        bus = dict(zip(names, (int(each) for each in made), strict=True))
        strong = {"s_sc_max_mva": 1e12, "rx_max": 0.1, "r0x0_max": 0.1, "x0x_max": 1.0}
        pp.create_ext_grid(net, bus["source"], **strong)
        buses.append(bus)
    pairs = [(bus, branch) for bus, tree in zip(buses, trees, strict=True) for branch in tree]
    zero = [branch.line_ohm + 3 * branch.neutral_ohm for _, branch in pairs]
    pp.create_lines_from_parameters(
        net,
        [bus[branch.parent] for bus, branch in pairs],
        [bus[branch.node] for bus, branch in pairs],
        length_km=1.0,
        r_ohm_per_km=[branch.line_ohm.real for _, branch in pairs],
        x_ohm_per_km=[branch.line_ohm.imag for _, branch in pairs],
        c_nf_per_km=0.0,
        max_i_ka=1.0,
        r0_ohm_per_km=[ohm.real for ohm in zero],
        x0_ohm_per_km=[ohm.imag for ohm in zero],
        c0_nf_per_km=0.0,
    )
    return net, buses


@pytest.mark.slow
def test_single_phase_trees_agree_with_pandapower(pp: ModuleType) -> None:
    """500 random single-phase trees agree with a balanced Newton flow, volts and losses."""
    trees, all_loads = [], []
    for seed in range(500):
        random = Random(2000 + seed)
        nodes = random.randint(2, 25)
        trees.append(random_branches(random, nodes, neutral=False))
        kinds = [LoadClass.CONSTANT_POWER]
        all_loads.append(random_loads(random, nodes, random.randint(1, 12), kinds, [(0,)]))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        net, buses = pandapower_net(pp, trees, SOURCE_V / 1000)
        pairs = [(b, load) for b, some in zip(buses, all_loads, strict=True) for load in some]
        pp.create_loads(
            net,
            [bus[load.node] for bus, load in pairs],
            p_mw=[load.power_w / 1e6 for _, load in pairs],
            q_mvar=[reactive(load) / 1e6 for _, load in pairs],
        )
        pp.runpp(net, tolerance_mva=1e-12, max_iteration=100)
    theirs_v = net.res_bus.vm_pu.to_numpy() * SOURCE_V
    theirs_w = iter(1e6 * net.res_line.pl_mw.to_numpy())
    for bus, branches, loads in zip(buses, trees, all_loads, strict=True):
        flow = flow_of(Wiring.SINGLE_PHASE, branches, SOURCE_V, loads)
        ours_v = [flow.volts(branch.node) for branch in branches]
        assert np.abs(theirs_v[[bus[b.node] for b in branches]] - ours_v).max() < VOLTS_WITHIN
        lost_w = sum(next(theirs_w) for _ in branches)
        assert flow.losses_w == pytest.approx(lost_w, rel=LOSSES_WITHIN)


@pytest.mark.slow
def test_four_wire_trees_agree_with_pandapower(pp: ModuleType) -> None:
    """200 random four-wire trees agree with an unbalanced flow in sequence components."""
    trees, all_loads = [], []
    for seed in range(200):
        random = Random(3000 + seed)
        trees.append(random_branches(random, 12, neutral=True))
        all_loads.append(random_loads(random, 12, 9, [LoadClass.CONSTANT_POWER], LINES))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        net, buses = pandapower_net(pp, trees, SOURCE_V * 3**0.5 / 1000)
        for bus, loads in zip(buses, all_loads, strict=True):
            for load in loads:
                phase = "abc"[load.lines[0]]
                watts, vars_ = load.power_w / 1e6, reactive(load) / 1e6
                drawn = {f"p_{phase}_mw": watts, f"q_{phase}_mvar": vars_}
                pp.create_asymmetric_load(net, bus[load.node], **drawn)
        pp.runpp_3ph(net, tolerance_mva=1e-11, max_iteration=100)
    theirs_v = net.res_bus_3ph[[f"vm_{phase}_pu" for phase in "abc"]].to_numpy() * SOURCE_V
    for bus, branches, loads in zip(buses, trees, all_loads, strict=True):
        flow = flow_of(Wiring.THREE_PHASE, branches, SOURCE_V, loads)
        ours_v = [[flow.volts(branch.node, line) for line in range(3)] for branch in branches]
        assert np.abs(theirs_v[[bus[b.node] for b in branches]] - ours_v).max() < VOLTS_WITHIN


@pytest.mark.slow
def test_the_published_33_bus_feeder(pp: ModuleType) -> None:
    """The feeder of Baran and Wu (1989), as pandapower holds it: 202.677 kW lost, 0.91309 lowest.

    A balanced three-phase network in line-to-line volts and total watts is a single-phase one.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        net = pp.networks.case33bw()
        pp.runpp(net, tolerance_mva=1e-10)
    rated_v = 12660.0
    branches = [
        Branch(
            f"n{row.to_bus}",
            "source" if row.from_bus == 0 else f"n{row.from_bus}",
            complex(row.r_ohm_per_km, row.x_ohm_per_km) * row.length_km,
        )
        for row in net.line[net.line.in_service].itertuples()
    ]
    loads = [
        FlowLoad(
            str(row.Index),
            f"n{row.bus}",
            1e6 * row.p_mw,
            rated_v,
            pf=row.p_mw / float(np.hypot(row.p_mw, row.q_mvar)),
        )
        for row in net.load.itertuples()
    ]
    flow = flow_of(Wiring.SINGLE_PHASE, branches, rated_v, loads)
    lowest = min(flow.volts(branch.node) for branch in branches) / rated_v
    assert flow.losses_w / 1000 == pytest.approx(202.677, abs=0.001)
    assert lowest == pytest.approx(0.91309, abs=1e-5)
    theirs_w = 1e6 * float(net.res_line.pl_mw.sum())
    assert flow.losses_w == pytest.approx(theirs_w, rel=LOSSES_WITHIN)
