"""Two logs of one job joined: what the one lacks of the other, each observation once.

Imports observations only.
"""

from collections import Counter

from spreadload.job.observations import Log, Observation, Seen


def lacking(own: Log, other: Log) -> tuple[Observation, ...]:
    """Return what has to be added to a log so that it holds all of another.

    An observation is the same when everything said of it is the same; one that a log holds twice
    stays there twice. What either log strikes out is struck out in both.
    """
    have = Counter(o.key for o in own.observations)
    found = []
    for seen in other.observations:
        if have[seen.key]:
            have[seen.key] -= 1
        else:
            found.append(seen)
    joined = Log(observations=(*own.observations, *found))
    missing = _struck(other) - _struck(joined)
    found += [Observation(what=Seen.STRIKE, strikes=key) for key in sorted(missing.elements())]
    return tuple(found)


def _struck(log: Log) -> Counter[str]:
    return Counter(log.observations[n - 1].key for n in log.struck)
