"""The physics of small supplies, as pure functions on plain values.

Conventions, for every module in this package:

* Volts are line-to-neutral unless the name says ``line_to_line``.
* Current is positive from the supply towards the load; power is positive when consumed.
* Power factor is displacement power factor, lagging unless a name says leading.
* Lengths are one way along the route; ``loop`` means go and return together.
* Lower-case unit suffixes carry unscaled units; ``_ma`` and ``_mm2`` are the exceptions.
* Every physical number is a field of a frozen row with a ``source``: see ``rows.py``.

These modules know nothing of the job or the plan. They may import ``spreadload.units``,
``spreadload.errors`` and numpy only.
"""
