"""Answers as text, data, pages and lists: what is known is set out here, nothing is worked out.

Nothing is imported here, so that an answer on the day loads only its own words.
"""
