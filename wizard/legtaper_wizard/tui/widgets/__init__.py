"""Textual widgets: a canvas of lines that redraws what changed, and the line for answers."""
