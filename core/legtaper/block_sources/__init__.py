"""Where a block comes from: a table of levels, a body, or an outline."""
