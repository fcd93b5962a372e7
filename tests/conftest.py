"""How hypothesis looks for counterexamples: at random at home, the same ones every time where a change is judged.

And whether packages can be installed, for the tests that do so as people would.
"""

import atexit
import os
import shutil
import subprocess
import sys
import tempfile

import pytest
from hypothesis import settings

# No deadlines: a busy machine is no mistake. What must be fast has a bound of its own, in CPU time.
settings.register_profile("home", deadline=None)
settings.register_profile("judge", deadline=None, derandomize=True)
settings.load_profile("judge" if os.environ.get("CI") else "home")

# The commands that tests run remember what they know where nobody else does.
_CACHE = tempfile.mkdtemp(prefix="procgen-cache-")
os.environ["PROCGEN_CACHE"] = _CACHE
atexit.register(shutil.rmtree, _CACHE, ignore_errors=True)


@pytest.fixture(scope="session")
def pip_installs(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Pip finds packages here. Where it does not, the test is skipped; where a change is judged, it fails."""
    folder = tmp_path_factory.mktemp("asked")
    command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--dest", str(folder), "hatchling"]
    asked = subprocess.run(command, capture_output=True, text=True, check=False)
    if asked.returncode and os.environ.get("CI"):
        pytest.fail(f"pip cannot install, and these tests are not left out where a change is judged: {asked.stderr}")
    if asked.returncode:
        pytest.skip("pip cannot install packages here")
