"""Volts along the leads, and in which order to strike and switch."""
