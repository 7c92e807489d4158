"""The package stands alone: the standard library and nothing else of the project."""

import subprocess
import sys
from pathlib import Path

SCRIPT = """
import sys
before = set(sys.modules)
from fieldplan.pictures import *
new = {name for name in set(sys.modules) - before if not name.startswith("fieldplan.pictures")} - {"fieldplan"}
print(*sorted(name for name in new if name.split(".")[0] not in sys.stdlib_module_names))
"""


def test_nothing_but_the_standard_library() -> None:
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", SCRIPT], cwd=root, capture_output=True, text=True, check=True)
    assert done.stdout.split() == []
