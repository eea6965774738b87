"""Muslin rounds: the log, the next design, designs side by side."""
