"""A plan's chance in words: in how many of 100 wirings it fails, whose 100 that is, what drives it.

Imports plans, and from ``practice`` how well such forecasts held.
"""

from math import ceil, floor

from spreadload.check.words import in_100
from spreadload.plan import BadMap, Chance, Driver
from spreadload.practice.forecasts import forecast_like
from spreadload.words import called, in_setup, row, setup_name

_NOISE = 1e-6
_DARK_FROM_PCT = 1.0
_ALL_PCT = 99.95
_LEAST_TOLD_PCT = 0.05
_MOST_NAMED = 4


def chance_headline(chance: Chance) -> str:
    """Return the chance in one sentence, without a full stop."""
    if chance.certificate:
        return "holds whatever the wiring: every outlet counted on every circuit it might be on"
    said = f"fails in {in_100(chance.fails_pct)} ways this house could be wired"
    if chance.is_exact:
        return f"{said} (all {chance.maps} possible ways counted)"
    low, high = floor(chance.low_pct * 10) / 10, ceil(chance.high_pct * 10) / 10
    return f"{said} ({low:g} to {high:g} in 100)"


def chance_sentences(chance: Chance) -> tuple[str, ...]:
    """Return everything to say under the headline, a sentence each, without full stops."""
    return (*chance_in_short(chance), *chance_basis(chance))


def chance_in_short(chance: Chance) -> tuple[str, ...]:
    """Return what a crew can act on: the outlets behind it, and what a dropped circuit costs."""
    return (
        *_how_it_held(chance),
        *_on_volts(chance),
        *_drivers(chance.drivers),
        *_bad_maps(chance.bad_maps)[:1],
        *_dark(chance),
    )


def chance_basis(chance: Chance) -> tuple[str, ...]:
    """Return whose 100 that is: what they are made of, how many were seen, how near the best."""
    if chance.certificate:
        return ()
    found = _bad_maps(chance.bad_maps)[1:]
    if chance.bound_pct is not None:
        on_amps = "by amps alone, " if chance.volts_pct else ""
        fitted = _pct(chance.fitted_pct or 0.0)
        found.append(
            f"{on_amps}on the wirings it was fitted to it fails in {fitted} in 100; "
            f"no plan does better than {floor(chance.bound_pct * 10 + _NOISE) / 10:g} there"
        )
    if chance.assumptions:
        found.append("the 100 are made of: " + "; ".join(chance.assumptions))
    if not chance.is_exact:
        found.append(
            f"measured on {chance.maps} wirings (worth {chance.effective:.0f} independent ones)"
        )
    return tuple(found)


def _how_it_held(chance: Chance) -> list[str]:
    """Return what became of plans with such a chance on simulated houses."""
    row = None if chance.certificate else forecast_like(chance.fails_pct)
    if row is None:
        return []
    said = f"{row.from_pct:g} to {row.to_pct:g} of 100"
    plans = f"{row.plans} plans for made-up houses that were said to fail in {said}"
    return [f"leave room: of {plans}, {in_100(row.failed_pct)} did"]


def _on_volts(chance: Chance) -> list[str]:
    """Return how much of the chance no breaker has to do with."""
    if chance.volts_pct < _LEAST_TOLD_PCT:
        return []
    return [f"in {_pct(chance.volts_pct)} of the 100 every breaker holds and the volts do not"]


def _drivers(drivers: tuple[Driver, ...]) -> list[str]:
    if not drivers:
        return []
    named = ", ".join(f"{d.outlet} (without it {_pct(d.without_pct)} in 100)" for d in drivers)
    found = [f"outlets that drive it: {named}"]
    found += [
        f"sooner than test {d.outlet}, don't use it: a plan without it fails in "
        f"{_pct(d.avoided_pct)} in 100"
        for d in drivers
        if d.avoided_pct is not None
    ]
    return found


def _bad_maps(bad_maps: tuple[BadMap, ...]) -> list[str]:
    heads = ("likeliest way to fail", "next")
    return [_bad(head, bad) for head, bad in zip(heads, bad_maps, strict=False)]


def _bad(head: str, bad: BadMap) -> str:
    outlets = ", ".join(bad.outlets) or "what is known to be there"
    if bad.text:
        return _bad_volts(f"{head} ({_pct(bad.weight_pct)} in 100)", bad)
    kind, _, name = bad.where.rpartition(" ")
    over = f"{ceil(round(bad.value * 10, 6)) / 10:g} {bad.unit} of {bad.limit:g} {bad.unit}"
    told = {
        "single load": f"on {name}, where one load takes more than its share",
        "rcd leakage": f"behind {name}, which then leaks {over} before it may open",
        "rcd amps": f"behind {name}, which then carries {over}",
    }.get(kind, f"on {name}, which then carries {over}")
    several = "all " if len(bad.outlets) > 1 else ""
    how_often = f"{head} ({_pct(bad.weight_pct)} in 100)"
    return f"{how_often}: {outlets} {several}{told}{in_setup(bad.setup)}"


def _bad_volts(how_often: str, bad: BadMap) -> str:
    """Return a way to run short of volts: what hangs together, and what the judge says then."""
    on: dict[str, list[str]] = {}
    for outlet, circuit in bad.outlets.items():
        on.setdefault(circuit, []).append(outlet)
    each = [f"{row(outlets)} on {circuit}" for circuit, outlets in on.items()]
    return f"{how_often}: {'; '.join([*each, bad.text])}"


def _dark(chance: Chance) -> list[str]:
    """Return set-ups that one dropped circuit may leave without any light."""
    worst: dict[str, float] = {}
    for loss in chance.losses:
        worst[loss.setup] = max(worst.get(loss.setup, 0.0), loss.dark_pct)
    return [
        f"if {_any_of(chance, setup, dark)} drops in {setup_name(setup)}, no light stays on"
        f"{_how_often(dark)}"
        for setup, dark in worst.items()
        if dark >= _DARK_FROM_PCT
    ]


def _any_of(chance: Chance, setup: str, dark_pct: float) -> str:
    """Return the circuits of which one that drops leaves a set-up dark so often."""
    alike = [
        called(loss.circuit, "circuit")
        for loss in chance.losses
        if loss.setup == setup and _how_often(loss.dark_pct) == _how_often(dark_pct)
    ]
    return row(alike, "or") if len(alike) <= _MOST_NAMED else f"one of {len(alike)} circuits"


def _how_often(dark_pct: float) -> str:
    """Return on how many wirings that is so; nothing where it is on all of them."""
    return "" if dark_pct >= _ALL_PCT else f" in {in_100(dark_pct)}"


def _pct(pct: float) -> str:
    """Return a share with one decimal, rounded up."""
    return f"{ceil(round(pct * 10, 6)) / 10:g}"
