"""`python -m holdback` is the same as `holdback`."""

import sys

from holdback.cli import main

if __name__ == "__main__":
    sys.exit(main())
