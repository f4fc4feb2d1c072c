"""``python -m floatbowl``."""

from floatbowl.cli import main

main()
