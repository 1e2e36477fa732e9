"""The browser that opens the pages: Chromium without windows, which takes half the time of the processor.

Both are made of one source, and lay out, run scripts and speak to servers alike; `make proof` opens the pages in the
whole of it.
"""

import os
import shutil

# The program itself: Debian's script of this name waits for it, and would be what a signal ends.
_BARE = ("/usr/lib/chromium/chromium-headless-shell", "chromium-headless-shell")
_WHOLE = ("chromium", "chromium-browser")
_NAMES = (*_WHOLE, *_BARE) if "TORQUEAUDIT_PROOF" in os.environ else (*_BARE, *_WHOLE)
CHROMIUM = next(filter(None, map(shutil.which, _NAMES)), "")
