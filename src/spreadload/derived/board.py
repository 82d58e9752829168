"""Reading the switchboard: what each way feeds, how sure that is, and why.

A statement of the job always wins over a reading of the label, the label over the rating; what
speaks against a reading lowers its certainty and is said with it.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

from spreadload import practice
from spreadload.job.job import Job
from spreadload.job.site import Circuit, Curve, Feeds, HowKnown
from spreadload.practice.label_text import plain_words, says
from spreadload.practice.wiring import wiring_habits

# How much is left of a certainty when something speaks against a reading: common practice.
_ODD_RATING = 0.5
_MOTOR_CURVE = 0.7
_BY_RATING = 0.6
_ALSO_OTHER = 0.5
_OTHER_USE = 0.5
_GUESSED = 0.75
_ITS_OWN = 0.9
_PLAIN_LABELS = frozenset({"power", "gpo", "plugs", "sockets", "outlets", "receptacles", ""})
# Fixed kitchen appliances that take a power breaker of their own when none is labelled for them.
_TAKES_A_BREAKER = {"oven": "oven", "dishwasher": "dishwasher", "dish washer": "dishwasher"}


@dataclass(frozen=True)
class BoardReading:
    """What one way feeds.

    Attributes:
        certainty: 1 when stated, less when read from a label or a rating.
        reason: Why, in a few words.
    """

    feeds: Feeds
    certainty: float
    reason: str

    def but(self, left: float, reason: str) -> "BoardReading":
        """Return the reading with less certainty and the reason for that added."""
        return replace(self, certainty=self.certainty * left, reason=f"{self.reason}, but {reason}")


def read_way(job: Job, circuit_id: str) -> BoardReading:
    """Return what a way of the switchboard feeds."""
    reading = _read_alone(job, circuit_id)
    if reading is not None:
        return reading
    says_nothing = "neither label nor rating says outlets"
    every = (_read_alone(job, other) for other in job.circuits)
    if not job.outlets or any(other and other.feeds is Feeds.OUTLETS for other in every):
        return BoardReading(Feeds.OTHER, _OTHER_USE, says_nothing)
    reason = f"{says_nothing}, but no other way could feed the outlets listed"
    return BoardReading(Feeds.OUTLETS, _OTHER_USE, reason)


def _read_alone(job: Job, circuit_id: str) -> BoardReading | None:
    """Return what a way feeds, whatever the others on the board do; None where nothing tells."""
    circuit = job.circuits[circuit_id]
    if circuit.feeds is not None:
        return BoardReading(circuit.feeds, 1.0, "stated")
    fed = [o for o, outlet in job.outlets.items() if outlet.circuit == circuit_id]
    if fed:
        return _by_outlets(job, fed)
    reading = (
        _by_what_is_wired(job, circuit_id)
        or _by_label(circuit, job.region)
        or _by_rating(circuit, job.region)
    )
    if reading is not None and reading.feeds is Feeds.OUTLETS:
        reading = _doubted(job, circuit_id, reading)
    return reading


def hinted_rating_a(region: str, circuit: Circuit) -> float | None:
    """Return the rating the colour of a toggle hints at [A], only where none can be read.

    Source:
        Common practice, no source: see ``toggle_a`` in the wiring habits of the region.
    """
    if circuit.breaker_a is not None or circuit.fuse_a is not None or not circuit.toggle_colour:
        return None
    row = wiring_habits(region).toggle_a.get(circuit.toggle_colour.strip().lower())
    return None if row is None else row.value


def unplaced_appliances(job: Job) -> tuple[str, ...]:
    """Return ovens and dishwashers of the house for which no way and no outlet is known."""
    labelled = " ".join(circuit.label for circuit in job.circuits.values())
    found = set()
    for load_id, load in job.house.items():
        if load.circuit is None and load.outlet is None:
            named = f"{load_id} {load.what}"
            found |= {
                name
                for word, name in _TAKES_A_BREAKER.items()
                if says(named, word) and not says(labelled, word)
            }
    return tuple(sorted(found))


def _by_outlets(job: Job, fed: list[str]) -> BoardReading:
    if all(job.outlets[o].known is HowKnown.GUESSED for o in fed):
        return BoardReading(Feeds.OUTLETS, _GUESSED, f"outlet {fed[0]} is guessed to be on it")
    return BoardReading(Feeds.OUTLETS, 1.0, f"outlet {fed[0]} is on it")


def _by_what_is_wired(job: Job, circuit_id: str) -> BoardReading | None:
    """Return that a way is its load's own, where its label says nothing beyond that load.

    A label that names a room or a use keeps its meaning: a disposer may be wired to the kitchen's.
    """
    circuit = job.circuits[circuit_id]
    words = set(plain_words(circuit.label).split())
    is_read = _label_row(circuit.label, job.region) is not None
    for load_id, load in job.loads.items():
        named = set(plain_words(f"{load_id} {load.what}").split())
        if words and load.circuit == circuit_id and (not is_read or words <= named):
            feeds = _label_feeds(circuit, job.region)
            return BoardReading(feeds, _ITS_OWN, f"{load_id} is wired to it")
    return None


def _label_feeds(circuit: Circuit, region: str) -> Feeds:
    """Return what a label reads as, other than outlets."""
    row = _label_row(circuit.label, region)
    feeds = Feeds.OTHER if row is None else Feeds(row.feeds)
    return Feeds.OTHER if feeds is Feeds.OUTLETS else feeds


def _by_label(circuit: Circuit, region: str) -> BoardReading | None:
    row = _label_row(circuit.label, region)
    if row is None:
        return None
    return BoardReading(
        Feeds(row.feeds), row.certainty, f"label “{circuit.label}” reads as {row.feeds}"
    )


@lru_cache(maxsize=1024)
def _label_row(label: str, region: str) -> practice.LabelWord | None:
    """Return the first word of the region's labels that a label holds."""
    return next((row for row in practice.labels(region) if says(label, row.word)), None)


def _by_rating(circuit: Circuit, region: str) -> BoardReading | None:
    hint = hinted_rating_a(region, circuit)
    rating = circuit.breaker_a or circuit.fuse_a or hint
    if rating is None:
        return None
    hinted = "" if hint is None else f", hinted at by the {circuit.toggle_colour} toggle"
    uses = _uses(region, rating)
    others = " or ".join(use.value for use in uses if use is not Feeds.OUTLETS)
    if Feeds.OUTLETS in uses:
        reading = BoardReading(
            Feeds.OUTLETS, _BY_RATING, f"{rating:g} A is a usual rating for outlets here{hinted}"
        )
        if others:
            also = f"it is usual for {others} too"
            return replace(reading, certainty=_ALSO_OTHER, reason=f"{reading.reason}; {also}")
        return reading
    usual = _listed_a(practice.region(region).usual_outlet_breakers_a)
    feeds = uses[0] if uses else Feeds.OTHER
    told = f"usual for {others}" if others else "usual for nothing here"
    reason = f"{rating:g} A is not usual for outlets here ({usual} are), but {told}{hinted}"
    return BoardReading(feeds, _OTHER_USE, reason)


def _doubted(job: Job, circuit_id: str, reading: BoardReading) -> BoardReading:
    """Return a reading as outlets with everything that speaks against it."""
    circuit = job.circuits[circuit_id]
    rating = circuit.breaker_a or circuit.fuse_a
    usual = practice.region(job.region).usual_outlet_breakers_a
    if rating is not None and rating not in usual:
        reading = reading.but(
            _ODD_RATING, f"{rating:g} A is not usual for outlets here ({_listed_a(usual)} are)"
        )
    if circuit.curve is Curve.D:
        reading = reading.but(_MOTOR_CURVE, "curve D is usual for motors")
    seen = unplaced_appliances(job)
    if seen and _is_plain(job, circuit_id):
        rivals = sum(_is_plain(job, other) for other in job.circuits)
        left = max(1 - len(seen) / max(rivals, 1), 0.1)
        of_one = f"one of {rivals} such ways" if rivals > 1 else "it"
        reading = reading.but(
            left, f"{of_one} may be the {' or the '.join(seen)} seen in the house"
        )
    elif reading.certainty < 1 and _is_plain(job, circuit_id) and circuit.label:
        reading = replace(reading, reason=f"{reading.reason}; it may still be a single outlet")
    return reading


def _is_plain(job: Job, circuit_id: str) -> bool:
    """Whether a way is labelled as power in general, or not at all, and rated like outlets."""
    circuit = job.circuits[circuit_id]
    if circuit.feeds is not None or any(o.circuit == circuit_id for o in job.outlets.values()):
        return False
    words = {word for word in plain_words(circuit.label).split() if not word.isdigit()}
    rating = circuit.breaker_a or circuit.fuse_a
    usual = practice.region(job.region).usual_outlet_breakers_a
    return words <= _PLAIN_LABELS and (rating is None or rating in usual)


def _uses(region: str, rating_a: float) -> list[Feeds]:
    usual = practice.region(region).usual_breakers
    return [Feeds(use) for use, row in usual.items() if rating_a in row.values]


def _listed_a(ratings: tuple[float, ...]) -> str:
    return ", ".join(f"{rating:g}" for rating in ratings) + " A"
