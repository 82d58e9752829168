"""Rounds by number: every wiring read right, a single misread lamp always found out."""

from itertools import combinations

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from spreadload.wiring.colours import fewest_colours, fewest_rounds
from spreadload.wiring.maps import Maps
from spreadload.wiring.session import Session, session


@st.composite
def houses(draw: st.DrawFn) -> tuple[Maps, tuple[str, ...]]:
    """Return wirings of up to six circuits and five lamps, and what may be switched."""
    circuits = tuple(f"C{n}" for n in range(draw(st.integers(2, 6))))
    lamps = draw(st.integers(1, 5))
    one = st.tuples(*[st.integers(0, len(circuits) - 1)] * lamps)
    rows = draw(st.lists(one, min_size=1, max_size=10, unique=True))
    weights = np.full(len(rows), 1 / len(rows))
    on = np.array(rows, dtype=np.int16)
    outlets = tuple(f"O{n}" for n in range(lamps))
    is_exact = draw(st.booleans())
    may_switch = draw(st.lists(st.sampled_from(circuits), min_size=1, unique=True))
    return Maps(outlets, circuits, on, weights, is_exact, float(len(rows)), 0), tuple(may_switch)


def planned(house: tuple[Maps, tuple[str, ...]]) -> Session:
    """Return the session the package plans."""
    maps, may_switch = house
    return session(maps, maps.outlets, may_switch=may_switch, people=2)


def coded_rounds(found: Session) -> list[set[str]]:
    """Return the circuits off in each round by number."""
    digits = max(found.codes.values(), default=0).bit_length()
    return [{c for c, code in found.codes.items() if code >> d & 1} for d in range(digits)]


@settings(max_examples=60)
@given(houses())
def test_pattern_is_the_breaker(house: tuple[Maps, tuple[str, ...]]) -> None:
    """Of the circuits a lamp may be on, only its own has the pattern it shows."""
    maps, may_switch = house
    found = planned(house)
    rounds = coded_rounds(found)
    if found.binary is not None:
        assert [set(off) for off in found.binary.first] == rounds
    for n, outlet in enumerate(maps.outlets):
        possible = {maps.circuits[int(c)] for c in maps.on[:, n]}
        for own, other in combinations(sorted(possible), 2):
            patterns = [tuple(c in off for off in rounds) for c in (own, other)]
            assert (patterns[0] != patterns[1]) or not {own, other} & set(may_switch), outlet


@settings(max_examples=60)
@given(houses(), st.data())
def test_check_round_shows_a_single_misread_lamp(
    house: tuple[Maps, tuple[str, ...]], data: st.DataObject
) -> None:
    """Whichever lamp is read wrongly in whichever round, its check no longer fits."""
    found = planned(house)
    assume(found.codes)
    circuit = data.draw(st.sampled_from(sorted(found.codes)))
    rounds = [*coded_rounds(found), set(found.check)]
    seen = [circuit in off for off in rounds]
    assert sum(seen) % 2 == 0
    wrong = data.draw(st.integers(0, len(rounds) - 1))
    seen[wrong] = not seen[wrong]
    assert sum(seen) % 2 == 1


@settings(max_examples=60)
@given(houses())
def test_never_worse_than_one_by_one_nor_better_than_the_bound(
    house: tuple[Maps, tuple[str, ...]],
) -> None:
    """The way planned takes no more rounds than either fixed way, and no fewer than the bound."""
    found = planned(house)
    assert found.adaptive.rounds <= found.plain.rounds + 1e-9
    if found.binary is not None:
        assert found.adaptive.rounds <= found.binary.rounds + 1e-9
    assert found.bound_rounds <= found.adaptive.rounds + 1e-9
    assert found.adaptive.minutes <= found.plain.minutes + 1e-9
    assert found.best.minutes == min(w.minutes for w in (found.plain, found.adaptive))


@given(st.sets(st.tuples(st.integers(0, 5), st.integers(0, 5)), max_size=10))
def test_colours_are_the_fewest(pairs: set[tuple[int, int]]) -> None:
    """Trying every colouring finds none with fewer, and one with as many."""
    edges = {(min(a, b), max(a, b)) for a, b in pairs if a != b}

    def can(most: int) -> bool:
        return any(
            all(colours[a] != colours[b] for a, b in edges) for colours in np.ndindex(*([most] * 6))
        )

    least = fewest_colours(edges)
    assert can(least)
    assert least == 1 or not can(least - 1)
    assert 2 ** fewest_rounds(frozenset(edges)) >= least
