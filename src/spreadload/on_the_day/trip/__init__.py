"""Something went dark: what opened and why, what to do first, and what it proves of the wiring."""
