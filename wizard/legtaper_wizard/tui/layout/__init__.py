"""What stands on the screen, as lines of styled text. Pure functions; no Textual."""
