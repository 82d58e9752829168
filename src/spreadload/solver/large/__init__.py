"""Sites too large for one model: rounds over a plan in hand, and bounds from weights."""
