"""So that `python -m app.cli` is the same as `upstand`."""

import sys

from app.cli.entry import main

sys.exit(main())
