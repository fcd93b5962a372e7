"""Enters a record, as a process of its own that a test can kill: `python enter.py RECORD LIBRARY`.

It says "ready" when everything is loaded, so that a test measures writing and not importing.
"""

import sys
from datetime import date
from pathlib import Path

from procgen.record.record_sheet import record_sheet

sys.stdout.write("ready\n")
sys.stdout.flush()
sys.stdout.write(type(record_sheet(Path(sys.argv[1]), Path(sys.argv[2]), date(2026, 11, 1))).__name__)
