"""CP-SAT itself: one call, how long it may take, how it is stopped, a piece cut out of a model."""
