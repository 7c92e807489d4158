"""``python -m fieldplan``."""

import sys

from fieldplan.cli import main

sys.exit(main())
