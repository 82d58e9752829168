"""Which test of the wiring is worth making, by the risk of the best plan after it."""
