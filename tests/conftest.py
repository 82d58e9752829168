"""What holds for every test."""

from hypothesis import settings

# How long an example takes tells of the machine and of what else runs on it, not of the project.
settings.register_profile("any machine", deadline=None)
settings.load_profile("any machine")
