"""``python -m floatbowl`` is ``floatbowl``."""

from floatbowl.cli import main

if __name__ == "__main__":
    main()
