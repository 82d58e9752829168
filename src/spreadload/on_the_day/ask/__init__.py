"""May this be plugged in there, now? Loads no solver."""
