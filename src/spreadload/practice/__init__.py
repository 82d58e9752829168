"""Practice per region and per kind of load, as sourced rows read from package data.

Data and look-ups only: nothing here calculates. Imports nothing of the project but errors.
"""

from spreadload.errors import InternalError
from spreadload.practice.cables import HouseCables, LeadLengths
from spreadload.practice.draws import (
    Allowance,
    PowerFactorRow,
    StartRow,
    WattsRow,
    is_between,
)
from spreadload.practice.load import (
    REGION_IDS,
    cable_book,
    caution_book,
    draw_book,
    habit_book,
    label_words,
    plugs,
    region_book,
)
from spreadload.practice.records import (
    Caution,
    ContinuousRule,
    Figure,
    Figures,
    LabelWord,
    Plug,
    Region,
    RouteRule,
    Sourced,
    Status,
    VoltageBand,
    Word,
)

__all__ = [
    "REGION_IDS",
    "Allowance",
    "Caution",
    "ContinuousRule",
    "Figure",
    "Figures",
    "HouseCables",
    "LabelWord",
    "LeadLengths",
    "Plug",
    "PowerFactorRow",
    "Region",
    "RouteRule",
    "Sourced",
    "StartRow",
    "Status",
    "VoltageBand",
    "WattsRow",
    "Word",
    "broken_ring_a",
    "cautions",
    "cool_down_min",
    "cord_m",
    "countries",
    "house_cables",
    "labels",
    "lead_lengths",
    "leakage_row",
    "plug",
    "plug_family",
    "plug_ids",
    "power_factor_row",
    "rcd_row",
    "region",
    "region_ids",
    "rewireable_factor",
    "ring_cables",
    "route_rule",
    "start_row",
    "unlisted_lead_ft",
    "unlisted_lead_m",
    "watts_row",
]


def region_ids() -> tuple[str, ...]:
    """Return the regions there is practice for."""
    return REGION_IDS


def region(region_id: str) -> Region:
    """Return the practice of a region.

    Raises:
        InternalError: No such region; readers of input check ``region_ids`` first.
    """
    return region_book(region_id)


def countries() -> dict[str, str]:
    """Return what people write for a region, in lower case: name to region id."""
    books = [region_book(region_id) for region_id in REGION_IDS]
    return {name.casefold(): book.id for book in books for name in (book.id, book.name, *book.also)}


def plug_ids() -> tuple[str, ...]:
    """Return every plug id."""
    return tuple(plugs())


def plug(plug_id: str) -> Plug:
    """Return a plug, which stands for the outlet of its standard too.

    Raises:
        InternalError: No such plug; readers of input check ``plug_ids`` first.
    """
    if plug_id not in plugs():
        raise InternalError(f"no plug {plug_id!r}")
    return plugs()[plug_id]


def plug_family(region_id: str) -> tuple[Plug, ...]:
    """Return the plugs met on single-phase gear of a region, smallest first."""
    return tuple(plug(plug_id) for plug_id in region(region_id).plug_family)


def house_cables(region_id: str) -> HouseCables:
    """Return the fixed wiring to expect in a region by the rating of its breaker."""
    return cable_book().house_cables[region(region_id).house_cables]


def ring_cables() -> HouseCables:
    """Return the cable to expect each way round a ring."""
    return cable_book().rings


def lead_lengths(region_id: str) -> LeadLengths | None:
    """Return the longest leads a region advises, or None where it has no figure."""
    table = region(region_id).lead_lengths
    return None if table is None else cable_book().lead_lengths[table]


def labels(region_id: str) -> tuple[LabelWord, ...]:
    """Return words of switchboard labels, the one to believe first coming first."""
    return label_words(region(region_id).id)


def cautions(region_id: str, when: str | None = None) -> tuple[Caution, ...]:
    """Return the cautions of a region in order of weight, all or for one occasion."""
    known = region(region_id).id
    return tuple(
        row
        for row in caution_book()
        if (not row.regions or known in row.regions) and when in (None, row.when)
    )


def power_factor_row(
    *, kind: str, watts: float | None, corrected: bool | None, magnetic: bool
) -> PowerFactorRow:
    """Return the power factor to assume of a load.

    Args:
        kind: Kind of load.
        watts: Its watts as far as known [W].
        corrected: Whether its power factor is corrected; None: nobody said.
        magnetic: Whether its ballast is magnetic.

    Raises:
        InternalError: No row fits.
    """
    for row in draw_book().power_factors:
        if row.fits(kind=kind, watts=watts, corrected=corrected, magnetic=magnetic):
            return row
    raise InternalError(f"no power factor for a load of kind {kind!r}")


def watts_row(basis: str) -> WattsRow:
    """Return how watts at the plug follow from ``class``, ``lamp`` or ``lamp, magnetic`` watts.

    Raises:
        InternalError: No such basis.
    """
    for row in draw_book().watts:
        if row.id == basis:
            return row
    raise InternalError(f"no allowance for {basis!r} watts")


def leakage_row(kind: str, watts: float | None) -> Figure:
    """Return the standing leakage to assume of one unit [mA].

    Raises:
        InternalError: No row for the kind.
    """
    for row in draw_book().leakage:
        if kind in row.kinds and is_between(watts, row.above_w, row.up_to_w):
            return row
    raise InternalError(f"no leakage for a load of kind {kind!r}")


def start_row(kind: str) -> StartRow:
    """Return what a load draws at switch-on.

    Raises:
        InternalError: No row for the kind.
    """
    for row in draw_book().starts:
        if kind in row.kinds:
            return row
    raise InternalError(f"no start for a load of kind {kind!r}")


def cool_down_min(kind: str = "discharge") -> Figure:
    """Return minutes before a load lights again after a power cut [min].

    Raises:
        InternalError: No row for the kind.
    """
    for row in draw_book().cool_down:
        if kind in row.kinds:
            return row
    raise InternalError(f"no cool-down for a load of kind {kind!r}")


def cord_m(*, is_head: bool) -> Figure:
    """Return the length of a head's or an appliance's own cord [m]."""
    book = habit_book()
    return book.head_cord_m if is_head else book.appliance_cord_m


def unlisted_lead_m() -> Figures:
    """Return the lengths of lead to assume where none are listed [m]."""
    return habit_book().unlisted_lead_m


def unlisted_lead_ft() -> Figures:
    """Return the same where crews reckon in feet [ft]."""
    return habit_book().unlisted_lead_ft


def route_rule() -> RouteRule:
    """Return how the length of a lead follows from the plan of the house."""
    return habit_book().route


def rewireable_factor() -> Figure:
    """Return the share of a rewireable fuse's rating to plan with."""
    return habit_book().rewireable_factor


def broken_ring_a() -> Figure:
    """Return what the cable of a ring carries when one of its legs is open [A]."""
    return habit_book().broken_ring_a


def rcd_row(kind: str) -> Figure:
    """Return the usual rating [mA] of an ``RCD``, ``RCBO``, ``GFCI`` or ``equipment`` device.

    Raises:
        InternalError: No such family.
    """
    rows = habit_book().rcd_ma
    if kind not in rows:
        raise InternalError(f"no residual-current device of kind {kind!r}")
    return rows[kind]
