"""Which outlet is on which breaker: readings, beliefs, evidence and the maps still possible.

``model.WiringModel`` is the door: built from a job and its log, it enumerates or samples maps.
Never imports plans, the judge or the solver.
"""
