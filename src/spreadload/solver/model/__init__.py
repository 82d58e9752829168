"""A job as decisions in whole numbers: what may go where, the hard rules and the goals over it."""
