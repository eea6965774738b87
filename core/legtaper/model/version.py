"""The version of the program, said here alone."""

from __future__ import annotations

__version__ = "0.2.0"
