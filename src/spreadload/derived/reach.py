"""How long a lead has to be: the route from an outlet to the spot where a head stands."""

from dataclasses import dataclass

from spreadload import practice
from spreadload.job.job import Job
from spreadload.units import Lengths

_GROUND = {"g": 0, "gf": 0, "eg": 0, "rdc": 0, "ground": 0, "b": -1, "basement": -1, "lg": -1}


@dataclass(frozen=True)
class Spot:
    """A position in the house, as far as it is known."""

    room: str | None
    floor: int
    at: tuple[float, float] | None


@dataclass(frozen=True)
class RouteRule:
    """Numbers of the route rule; lengths in metres."""

    detour: float
    slack_m: float
    per_floor_m: float
    same_room_m: float
    other_room_m: float

    def length_m(self, start: Spot, end: Spot) -> float:
        """Return the length of lead from one spot to another [m].

        Source:
            Common practice, no source: walls are followed (sum of both directions), a third is
            added for detours, a little slack, and the height of each floor.
        """
        floors_m = self.per_floor_m * abs(start.floor - end.floor)
        if start.at is not None and end.at is not None:
            walls_m = abs(start.at[0] - end.at[0]) + abs(start.at[1] - end.at[1])
            return self.detour * walls_m + self.slack_m + floors_m
        same = start.room is not None and start.room == end.room
        return (self.same_room_m if same else self.other_room_m) + floors_m


def floor_level(name: str) -> int:
    """Return the level of a floor name: G is 0, 1 is one up, B one down."""
    text = name.strip().lower()
    if text in _GROUND:
        return _GROUND[text]
    digits = text.lstrip("+")
    sign = -1 if digits.startswith(("-", "b")) else 1
    digits = digits.lstrip("-b")
    return sign * int(digits) if digits.isdecimal() else 0


def route_rule(job: Job) -> RouteRule:
    """Return the job's route rule, filled up with the trade's habits."""
    stated = job.rules.route
    habit = practice.route_rule()

    def pick(own: float | None, usual: float) -> float:
        return usual if own is None else own

    return RouteRule(
        pick(stated.detour, habit.detour),
        pick(stated.slack_m, habit.slack_m),
        pick(stated.per_floor_m, habit.per_floor_m),
        pick(stated.same_room_m, habit.same_room_m),
        pick(stated.other_room_m, habit.other_room_m),
    )


# Routes are sums and products of decimals; a micrometre is only noise [m].
REACH_NOISE_M = 1e-6


def lengths_of(job: Job) -> Lengths:
    """Return how lengths are told in the region of a job."""
    return Lengths(practice.region(job.region).units_of_length)


def outlet_spot(job: Job, outlet_id: str) -> Spot:
    """Return where an outlet is."""
    outlet = job.outlets[outlet_id]
    room = job.rooms.get(outlet.room) if outlet.room else None
    floor = outlet.floor or (room.floor if room else "G")
    return Spot(outlet.room, floor_level(floor), outlet.at_in_m or (room.at_in_m if room else None))


def room_spot(job: Job, room_id: str) -> Spot:
    """Return the middle of a room: as stated, else the mean of its outlets' positions."""
    room = job.rooms[room_id]
    level = floor_level(room.floor)
    if room.at_in_m is not None:
        return Spot(room_id, level, room.at_in_m)
    inside = (outlet.at_in_m for outlet in job.outlets.values() if outlet.room == room_id)
    known = [at for at in inside if at is not None]
    if not known:
        return Spot(room_id, level, None)
    middle = (sum(x for x, _ in known) / len(known), sum(y for _, y in known) / len(known))
    return Spot(room_id, level, middle)


def spot(job: Job, place_id: str) -> Spot:
    """Return where a place, room or outlet is."""
    if place_id in job.places:
        place = job.places[place_id]
        in_room = room_spot(job, place.room) if place.room else Spot(None, 0, None)
        level = floor_level(place.floor) if place.floor else in_room.floor
        return Spot(place.room, level, place.at_in_m or in_room.at)
    if place_id in job.rooms:
        return room_spot(job, place_id)
    return outlet_spot(job, place_id)
