"""The package stands alone: the standard library and nothing else of the project."""

import subprocess
import sys

SCRIPT = """
import sys
before = set(sys.modules)
import fieldplan.pictures
new = {name for name in set(sys.modules) - before if not name.startswith("fieldplan.pictures")} - {"fieldplan"}
print(*sorted(name for name in new if name.split(".")[0] not in sys.stdlib_module_names))
"""


def test_nothing_but_the_standard_library() -> None:
    done = subprocess.run([sys.executable, "-c", SCRIPT], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []
