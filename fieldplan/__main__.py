"""``python -m fieldplan``."""

import sys

from fieldplan.cli import start

sys.exit(start())
