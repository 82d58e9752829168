"""All hard rules by name, in the order in which violations are told."""

from collections.abc import Callable, Iterator

from spreadload.check import leads, limits, neutral, plugs, sagged, stock, volts
from spreadload.check.state import SetupState
from spreadload.plan import Violation

HardRule = Callable[[SetupState], Iterator[Violation]]

# Found while the plan is read, before any rule can look at it.
READING_RULES: tuple[str, ...] = ("unknown", "missing", "switch off")

HARD_RULES: dict[str, HardRule] = {
    "fixed": plugs.fixed,
    "off limits": plugs.off_limits,
    "plug": plugs.plug,
    "plug amps": plugs.plug_amps,
    "socket": plugs.socket,
    "socket amps": plugs.socket_amps,
    "plate amps": plugs.plate_amps,
    "boards in stock": stock.boards_in_stock,
    "boxes in stock": stock.boxes_in_stock,
    "box inlet": stock.box_inlet,
    "leads in stock": stock.leads_in_stock,
    "lead reach": leads.lead_reach,
    "board lead": leads.board_lead,
    "lead amps": leads.lead_amps,
    "lead drop": leads.lead_drop,
    "circuit": limits.circuit,
    "single load": limits.single_load,
    "feed": limits.feed,
    "rcd leakage": limits.rcd_leakage,
    "rcd amps": limits.rcd_amps,
    "phase": limits.phase,
    "contract": limits.contract,
    "neutral": neutral.neutral,
    "circuit under sag": volts.circuit_under_sag,
    "gear under sag": sagged.gear_under_sag,
    "volts": volts.volts,
}

# What these say of an outlet hangs on nothing that is plugged in elsewhere.
OF_ONE_OUTLET: frozenset[str] = frozenset(
    {
        "fixed",
        "off limits",
        "plug",
        "plug amps",
        "socket",
        "socket amps",
        "plate amps",
        "box inlet",
        "lead reach",
        "board lead",
        "lead amps",
        "lead drop",
        "single load",
    }
)
