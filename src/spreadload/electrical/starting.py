"""Switching on: what one moment does to a breaker, and an order that never reaches its band.

Must not import anything of the project but this package.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from spreadload.electrical.inrush import Ahead, StartLoad, held_a, inrush_band_a, start_row
from spreadload.electrical.protection import Device, Verdict, earliest_s, instant_band, verdict


class StrikeOutcome(StrEnum):
    """What a moment of switching on does to a device."""

    SAFE = "safe"
    MAY_TRIP = "may trip"
    EXPECT_TRIP = "expect a trip"


@dataclass(frozen=True, slots=True)
class StrikeVerdict:
    """Loads struck in one moment behind one device.

    Attributes:
        outcome: In one of three steps.
        low_a: Lower figure for the moment, with what already runs [A].
        high_a: Upper figure for the moment [A].
        limit_a: Current the moment must stay below [A].
        run_up_a: Current through the run-up that follows [A].
        run_up: What the run-up does to the device if it stayed that high.
        run_up_s: How long the run-up lasts [s].
        words: The same in plain words.
    """

    outcome: StrikeOutcome
    low_a: float
    high_a: float
    limit_a: float
    run_up_a: float
    run_up: Verdict
    run_up_s: float
    words: str


@dataclass(frozen=True, slots=True)
class StrikeStep:
    """One load in an order of switching on.

    Attributes:
        load: The load to switch on.
        wait_s: How long to wait before the next [s].
        verdicts: What the step does to each device on its path.
    """

    load: StartLoad
    wait_s: float
    verdicts: Mapping[str, StrikeVerdict] = field(default_factory=dict)

    @property
    def is_safe(self) -> bool:
        """Whether no device on the path comes near its band."""
        return all(each.outcome is StrikeOutcome.SAFE for each in self.verdicts.values())


def safe_to_strike_together(
    loads: Iterable[StartLoad],
    device: Device,
    *,
    running_a: float = 0.0,
    ahead: Ahead | None = None,
) -> StrikeVerdict:
    """Return what it does to a device to switch several loads on in one moment.

    Args:
        loads: What is switched on together.
        device: Breaker or fuse in front of them.
        running_a: What already runs behind the device [A].
        ahead: Supply and cable in front of the loads, which hold an inrush down; None counts on
            no help from them.
    """
    struck = tuple(loads)
    bands = [inrush_band_a(load) for load in struck]
    low_a = running_a + held_a(sum(low for low, _ in bands), ahead)
    high_a = running_a + held_a(sum(high for _, high in bands), ahead)
    rows = [start_row(load.kind) for load in struck]
    pulse_s = max((row.pulse_s for row in rows), default=0.0)
    run_up_a = running_a + sum(
        row.run_up * load.running_a for row, load in zip(rows, struck, strict=True)
    )
    outcome, limit_a = _strike_outcome(low_a, high_a, pulse_s, device)
    return StrikeVerdict(
        outcome=outcome,
        low_a=low_a,
        high_a=high_a,
        limit_a=limit_a,
        run_up_a=run_up_a,
        run_up=verdict(run_up_a, device),
        run_up_s=max((row.run_up_s for row in rows), default=0.0),
        words=f"{outcome}: {low_a:.0f} to {high_a:.0f} A for a moment; "
        f"the device may open from {limit_a:.0f} A",
    )


def _strike_outcome(
    low_a: float, high_a: float, pulse_s: float, device: Device
) -> tuple[StrikeOutcome, float]:
    """Return the outcome and the current [A] below which the moment is safe."""
    band = instant_band(device)
    if band is None:
        return _fuse_outcome(low_a, high_a, pulse_s, device)
    from_a, sure_a = band.low * device.rated_a, band.high * device.rated_a
    if high_a < from_a:
        return StrikeOutcome.SAFE, from_a
    return (StrikeOutcome.EXPECT_TRIP if low_a >= sure_a else StrikeOutcome.MAY_TRIP), from_a


def _fuse_outcome(
    low_a: float, high_a: float, pulse_s: float, device: Device
) -> tuple[StrikeOutcome, float]:
    """A fuse has no band: it must carry the pulse for as long as it lasts."""
    if earliest_s(device, high_a / device.rated_a) > pulse_s:
        return StrikeOutcome.SAFE, high_a
    expected = verdict(low_a, device).latest_s <= pulse_s
    return (StrikeOutcome.EXPECT_TRIP if expected else StrikeOutcome.MAY_TRIP), high_a


def striking_order(
    loads: Sequence[StartLoad],
    devices: Mapping[str, Device],
    *,
    running_a: Mapping[str, float] | None = None,
    ahead: Ahead | None = None,
) -> tuple[StrikeStep, ...]:
    """Return the order of switching on, one load at a time, with the lowest momentary currents.

    Each load meets only what runs before it, so the largest excess of inrush over running current
    goes first: no other order has a lower highest moment behind any device. A step that is not safe
    even so is marked; it needs a dimmer brought up slowly or another circuit, not another order.

    Args:
        loads: What is to be switched on; each names the devices on its path.
        devices: The devices by name.
        running_a: What already runs behind each device [A].
        ahead: Supply in front of those that state none; see ``safe_to_strike_together``.

    Raises:
        KeyError: A load's path names a device that is not given.
    """
    behind = dict.fromkeys(devices, 0.0) | dict(running_a or {})
    steps: list[StrikeStep] = []
    for load in sorted(loads, key=lambda each: (-_excess_a(each, ahead), each.name)):
        verdicts = {
            name: safe_to_strike_together(
                (load,), devices[name], running_a=behind[name], ahead=load.ahead or ahead
            )
            for name in load.path
        }
        steps.append(StrikeStep(load, start_row(load.kind).run_up_s, verdicts))
        for name in load.path:
            behind[name] += load.running_a
    return tuple(steps)


def _excess_a(load: StartLoad, ahead: Ahead | None) -> float:
    return held_a(inrush_band_a(load)[1], load.ahead or ahead) - load.running_a
