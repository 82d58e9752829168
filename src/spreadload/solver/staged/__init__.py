"""Goals in order: each is improved and then held while the next one is looked at."""
