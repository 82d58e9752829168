"""The chance in words: counts of 100, whose 100, what drives it, how it fails."""

import pytest

from spreadload.check.words import in_100
from spreadload.explain.chance_words import chance_headline, chance_sentences
from spreadload.plan import BadMap, Chance, Driver, Loss

RISKY = Chance(
    certificate=False,
    fails_pct=2.6,
    low_pct=2.21,
    high_pct=3.04,
    bound_pct=1.21,
    fitted_pct=1.4,
    maps=6000,
    effective=5980.4,
    drivers=(
        Driver(outlet="B10", without_pct=0.4, avoided_pct=2.8),
        Driver(outlet="B9", without_pct=1.9),
    ),
    losses=(
        Loss(circuit="P1", setup="SU2", usually=("soft 1",), at_worst=("soft 1",), dark_pct=12.0),
    ),
    bad_maps=(
        BadMap(
            weight_pct=1.04,
            where="circuit P4",
            setup="SU2",
            value=23.255,
            limit=20.0,
            unit="A",
            outlets={"B10": "P4", "B9": "P4"},
        ),
        BadMap(
            weight_pct=0.2,
            where="rcd leakage R1",
            setup="SU2",
            value=15.2,
            limit=15.0,
            unit="mA",
            outlets={"B9": "R1"},
        ),
    ),
    assumptions=("one in ten strays (common practice)",),
)


def test_headline_counts_ways_of_a_hundred_with_the_interval() -> None:
    """Nearest whole count, the interval rounded outwards to tenths."""
    said = chance_headline(RISKY)
    assert said == "fails in 3 of 100 ways this house could be wired (2.2 to 3.1 in 100)"


def test_a_certificate_is_said_to_be_one() -> None:
    """No count and no interval where the plan holds on every map."""
    sure = RISKY.model_copy(update={"certificate": True, "fails_pct": 0.0})
    assert chance_headline(sure).startswith("holds whatever the wiring")
    assert not any("100 are made of" in said for said in chance_sentences(sure))


def test_all_ways_counted_needs_no_interval() -> None:
    """Where every map was listed the share is exact and said to be."""
    exact = RISKY.model_copy(update={"is_exact": True, "maps": 16})
    assert chance_headline(exact).endswith("(all 16 possible ways counted)")


@pytest.mark.parametrize(
    ("pct", "words"),
    [(0.0, "none of 100"), (0.3, "fewer than 1 of 100"), (1.2, "1 of 100"), (99.6, "100 of 100")],
)
def test_small_and_large_shares_in_counts(pct: float, words: str) -> None:
    """A share above nothing is never called none."""
    assert in_100(pct) == words


def test_sentences_say_who_made_up_the_hundred_and_what_drives_it() -> None:
    """Drivers, advice, likeliest failures with amounts, the bound, the assumptions, the dark."""
    said = " | ".join(chance_sentences(RISKY))
    assert "outlets that drive it: B10 (without it 0.4 in 100), B9" in said
    assert "leave room: of " in said
    assert "sooner than test B10, don't use it: a plan without it fails in 2.8 in 100" in said
    assert "likeliest way to fail (1.1 in 100): B10, B9 all on P4" in said
    assert "then carries 23.3 A of 20 A in SU2" in said
    assert "next (0.2 in 100): B9 behind R1, which then leaks 15.2 mA of 15 mA" in said
    assert "no plan does better than 1.3 there" not in said
    assert "no plan does better than 1.2 there" in said
    assert "the 100 are made of: one in ten strays (common practice)" in said
    assert "if P1 drops in SU2, no light stays on in 12 of 100" in said


@pytest.mark.parametrize(
    ("dark_pct", "said"),
    [
        (12.0, "if P1 drops in SU2, no light stays on in 12 of 100"),
        (100.0, "if P1 drops in SU2, no light stays on"),
        (0.4, None),
    ],
)
def test_what_is_so_on_every_wiring_is_said_without_a_share(
    dark_pct: float, said: str | None
) -> None:
    """A share of all of them is no share."""
    losses = (RISKY.losses[0].model_copy(update={"dark_pct": dark_pct}),)
    told = [s for s in chance_sentences(RISKY.model_copy(update={"losses": losses})) if "dro" in s]
    assert told == ([said] if said else [])


@pytest.mark.parametrize(
    ("shares", "who"),
    [
        ({"P1": 3.0, "P2": 3.1, "P3": 0.5}, "if P1 or P2 drops"),
        ({"1": 3.0, "2": 9.0}, "if circuit 2 drops"),
        ({f"P{n}": 4.0 for n in range(6)}, "if one of 6 circuits drops"),
    ],
)
def test_circuits_alike_are_named_together(shares: dict[str, float], who: str) -> None:
    """No one of them is to blame where others leave the set-up dark as often."""
    losses = tuple(
        RISKY.losses[0].model_copy(update={"circuit": name, "dark_pct": share})
        for name, share in shares.items()
    )
    told = [s for s in chance_sentences(RISKY.model_copy(update={"losses": losses})) if "dro" in s]
    assert len(told) == 1
    assert told[0].startswith(f"{who} in SU2, no light stays on in ")
