"""Where one sees the signs of a muslin: a short list to begin with, before the signs themselves."""

from __future__ import annotations

PLACES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("seat, crotch and thigh", ("folds-under-seat", "tight-thigh", "loose-folds")),
    ("knee and calf", ("slanting-lines", "binding-knee", "bagging-knees", "riding-hem")),
    ("a seam or the crease", ("swinging-seam", "bump-at-blend", "leaning-crease")),
    (
        "hem and foot",
        ("rippling-hem", "hem-at-foot", "tight-foot", "caught-hem", "riding-hem",
         "leaning-crease"),
    ),
    ("pain or marks on the skin", ("pain",)),
)  # fmt: skip
"""Each place with the signs that are seen there, from the top down; a few are seen at two."""
