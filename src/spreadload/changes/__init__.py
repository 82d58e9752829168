"""Changing what a job asks for or offers: one small edit at a time, always to a new job.

Offers, what-if variants and proofs of impossibility are all built from these edits. Nothing here
decides, solves or reads files.
"""

from spreadload.changes.change import Change, ChangeKind, Cost, price_of, total_cost, whose
from spreadload.changes.edits import (
    Edit,
    add_boards,
    add_leads,
    add_outlet,
    allow,
    drop_heads,
    move_load,
    move_some,
    run_in,
    swap_heads,
    without_load,
)
from spreadload.changes.orders import reordered

__all__ = [
    "Change",
    "ChangeKind",
    "Cost",
    "Edit",
    "add_boards",
    "add_leads",
    "add_outlet",
    "allow",
    "drop_heads",
    "move_load",
    "move_some",
    "price_of",
    "reordered",
    "run_in",
    "swap_heads",
    "total_cost",
    "whose",
    "without_load",
]
