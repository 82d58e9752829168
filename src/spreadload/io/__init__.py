"""The door for files: text in as plain data with line numbers, plans and logs out whole.

Everything wrong with a file becomes a ``Fault`` that says where it stands and how to mend it. Rules
about electricity and wiring live elsewhere.
"""
