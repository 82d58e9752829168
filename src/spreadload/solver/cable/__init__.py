"""Few metres of cable: the goal that takes longest, with a proof from a linear programme."""
