"""Commands of the shell, straight on the core; and what begins the wizard."""

import gc

gc.set_threshold(10_000)  # what modules make stays: to look for garbage at every 700 is a waste
