"""One leg: block, widths, taper, foot, hem, and each panel as it is cut."""
