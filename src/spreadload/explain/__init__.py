"""Why a plan is as it is, in plain words with numbers.

Works on any judged plan, whoever made it, by changing one thing and having the judge look again.
Never imports the solver. Nothing is imported here: the commands of the day want its words, and must
not load what only a whole plan wants told.
"""
