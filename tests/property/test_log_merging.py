"""Two phones' logs joined: nothing lost, nothing twice, whichever phone starts."""

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from spreadload.job.merging import lacking
from spreadload.job.observations import Log, Observation, Seen

_TRIPS = st.builds(
    lambda circuit, outlet: Observation(what=Seen.TRIP, circuits=(circuit,), dark=(outlet,)),
    st.sampled_from(("P1", "P2")),
    st.sampled_from(("B1", "B2", "B3")),
)
_LOGS = st.lists(_TRIPS, max_size=6).map(lambda seen: Log(observations=tuple(seen)))


def _joined(own: Log, other: Log) -> Log:
    return Log(observations=(*own.observations, *lacking(own, other)))


def _held(log: Log) -> Counter[str]:
    return Counter(seen.key for seen in log.observations)


@given(_LOGS, _LOGS)
def test_merging_twice_adds_nothing(own: Log, other: Log) -> None:
    """A log that was merged once lacks nothing of the other."""
    assert lacking(_joined(own, other), other) == ()


@given(_LOGS, _LOGS)
def test_merging_is_the_same_from_either_phone(own: Log, other: Log) -> None:
    """Both phones end with the same entries: of each, as many as the fuller log had."""
    assert _held(_joined(own, other)) == _held(_joined(other, own)) == _held(own) | _held(other)
