"""What happens on the day: a circuit goes down, and the crew has a minute.

Diagnosis, the smallest re-plug, and moves prepared beforehand. Works with the judge and the maps
alone and never imports the solver, so that an answer comes at once.
"""
