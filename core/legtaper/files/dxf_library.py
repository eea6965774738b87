"""The library for DXF, loaded so that it keeps nothing on the disk and says nothing of its own.

Left alone it looks through all fonts of the machine when it is imported and keeps a list of them in
the person's home, fails where that list was cut short, and logs in the words of a drawing. No font
is needed here: lines are drawn, not letters.
"""

from __future__ import annotations

import logging
import os
import sys
from pathlib import Path
from types import ModuleType
from typing import Final

_NO_FONTS: Final = Path(__file__).with_name("no_fonts")
_WHERE: Final = "XDG_CACHE_HOME"
_UNHEARD: Final = logging.NullHandler()


def ezdxf() -> ModuleType:
    """Return the library, with an empty list of fonts in place of the machine's."""
    if "ezdxf" in sys.modules:
        return sys.modules["ezdxf"]
    # What it passes over it logs, in the file's own words; unheard, that goes to the terminal.
    logging.getLogger("ezdxf").addHandler(_UNHEARD)
    before = os.environ.get(_WHERE)
    os.environ[_WHERE] = str(_NO_FONTS)
    try:
        import ezdxf as library
    finally:
        if before is None:
            del os.environ[_WHERE]
        else:
            os.environ[_WHERE] = before
    return library
