"""Textual screens: the form, the start, and the pages that ask or tell one thing."""
