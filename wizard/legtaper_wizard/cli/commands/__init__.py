"""One module a command, or a group of them."""
