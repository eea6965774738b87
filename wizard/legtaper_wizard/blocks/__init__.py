"""A block that is drafted or traced: what is asked for it and what comes of it, on no terminal."""
