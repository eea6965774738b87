"""Project files: read, checked, changed line by line, and kept on disk."""
