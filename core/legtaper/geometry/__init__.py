"""Pure geometry in mm: curves, one trued seam, offsets."""
