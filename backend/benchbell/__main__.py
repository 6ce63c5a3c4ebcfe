"""`python -m benchbell`: the same as `benchbell`."""

import sys

from benchbell.cli import main

sys.exit(main())
