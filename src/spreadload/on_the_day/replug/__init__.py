"""The fewest plugs that bring a device back under its limit."""
