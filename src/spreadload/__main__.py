"""``python -m spreadload`` is the same as ``spreadload``."""

from spreadload.cli import main

main()
