"""What the volts do, as data: every figure of the text, with its unit in its key."""

from collections.abc import Mapping

from spreadload.check.doubts import ComesOn
from spreadload.network.records import UnitVolts
from spreadload.on_the_day.volts.protection import Loaded
from spreadload.on_the_day.volts.sag import Sag, SetupSag
from spreadload.report.headed import Data
from spreadload.report.sag_text import answer_words


def sag_data(told: Sag, taken: Mapping[str, str] | None = None) -> Data:
    """Return what the volts do as data; volts in V, amps in A, watts in W.

    Args:
        told: What was worked out.
        taken: The likeliest circuit of each outlet of which nobody knows it.
    """
    service, budget = told.house.service, told.budget
    return {
        "holds": told.holds,
        "answer": answer_words(told, taken),
        "supply": {
            "idle_v": service.idle_v,
            "impedance_ohm": service.ohm,
            "low_ohm": service.low_ohm,
            "high_ohm": service.high_ohm,
            "strength": service.strength.value,
            "source": service.words,
            "notes": list(service.notes),
        },
        "budget": {
            "min_v": budget.min_v,
            "why": budget.why,
            "current_a": budget.current_a,
            "at_high_impedance_a": budget.low_a,
            "one_line_alone_a": budget.alone_a,
            "limit_a": budget.limit_a,
        },
        "setups": [_setup_data(each) for each in told.setups],
        "wiring": told.wires,
        "left_dark": [
            {"setup": out.setup, "load": out.load, "unit": out.unit, "place": out.place}
            for out in told.left_out
        ],
        "look_at": [*told.joints, *told.shared_neutrals, *told.lead_lengths],
    }


def _setup_data(each: SetupSag) -> Data:
    load = each.likely
    return {
        "setup": each.setup,
        "collapse": load.collapse,
        "board_v": load.board_v,
        "board_at_high_impedance_v": each.at_worst.board_v,
        "line_a": list(load.line_a),
        "neutral_a": load.neutral_a,
        "neutral_with_harmonics_a": each.neutral_a,
        "losses_w": load.losses_w,
        "sub_boards_v": load.sub_boards_v,
        "outlets_v": load.outlets_v,
        "units": [_unit(unit) for unit in load.units],
        "comes_on": [_event(event) for event in each.comes_on],
        "protection": [_loaded(loaded) for loaded in each.protection],
        "goes_out": [_named(unit) for unit in (each.goes_out.units if each.goes_out else ())],
        "without": [_named(unit) for unit in each.relief],
        "leads": [
            {"head": a.name, "now": a.now, "better": a.better, "volts": a.better_v}
            for a in each.leads
        ],
    }


def _named(unit: UnitVolts) -> Data:
    return {"load": unit.load, "unit": unit.unit, "outlet": unit.point}


def _unit(unit: UnitVolts) -> Data:
    return _named(unit) | {
        "circuit": unit.circuit,
        "volts": unit.volts,
        "min_v": unit.min_v,
        "drops_out": unit.is_short,
        "light_pct": unit.light_pct,
    }


def _event(event: ComesOn) -> Data:
    return {
        "what": event.what,
        "counted_as_running": event.was_on,
        "board_v": event.running.board_v,
        "starting_board_v": None if event.starting is None else event.starting.board_v,
    }


def _loaded(loaded: Loaded) -> Data:
    return {
        "device": loaded.name,
        "current_a": loaded.current_a,
        "rated_a": loaded.rated_a,
        "words": loaded.alone.words,
        "grouping_factor": loaded.factor,
        "grouped_words": loaded.grouped.words,
    }
