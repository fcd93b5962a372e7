"""How hypothesis looks for counterexamples: at random at home, the same ones every time where a change is judged."""

import os

from hypothesis import settings

# No deadlines: a busy machine is no mistake. What must be fast has a bound of its own, in CPU time.
settings.register_profile("home", deadline=None)
settings.register_profile("judge", deadline=None, derandomize=True)
settings.load_profile("judge" if os.environ.get("CI") else "home")
