"""`python -m mosaiclib`: the one command a teacher types."""

import sys

from mosaiclib.door import main

if __name__ == "__main__":
    sys.exit(main())
