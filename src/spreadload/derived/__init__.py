"""What follows from the job without any decision: amps, routes, points, demands, limits.

The solver, the judge and the reports all read these facts; none reads another's conclusions.
Nothing here knows of plans being good or bad.
"""
