"""Spread film lights over the circuits of a real house."""
