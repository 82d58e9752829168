"""Slips in a job: each with the fault it is, and the nearest thing that can be meant."""

from slips.board import BOARD
from slips.case import Case
from slips.day import DAY
from slips.ids import IDS
from slips.kit import KIT
from slips.names import UNKNOWN
from slips.outlets import OUTLETS
from slips.rules import RULES

SENSE: dict[str, Case] = IDS | BOARD | OUTLETS | KIT | DAY | RULES
CASES: dict[str, Case] = {f"unknown {name}": case for name, case in UNKNOWN.items()} | SENSE

__all__ = ["CASES", "UNKNOWN", "Case"]
