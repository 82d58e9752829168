"""Improving a whole plan piece by piece: what may change, and the small models it gives."""
