"""The house as a network: readings, cables and what is plugged in become volts and amps.

Stands between the worked-out facts and the physics in ``electrical``. The judge and the command
``sag`` both ask here; nothing here knows of plans being good or bad.
"""
