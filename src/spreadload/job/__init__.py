"""What the crew states: frozen models of the site, the kit, the day and the preferences.

Nothing here calculates, reads files or prints. Quantities carry their unit in the name. Every id is
the key under which the entry stands in the job file.
"""
