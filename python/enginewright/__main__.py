"""`python -m enginewright`: the command, where its start script is not on the path."""

import sys

from enginewright.command import main

if __name__ == "__main__":
    sys.exit(main())
