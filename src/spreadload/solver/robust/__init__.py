"""Wiring not known: the plan least likely to fail; ``least_risk.py`` is the door."""
