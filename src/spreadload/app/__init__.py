"""The use cases, one module each: from what was stated to an answer ready to be shown.

Nothing is imported here, so that a quick command loads only what it needs.
"""
