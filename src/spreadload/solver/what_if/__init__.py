"""Another job than the one stated: packages of changes, variants, forced choices, plugs kept."""
