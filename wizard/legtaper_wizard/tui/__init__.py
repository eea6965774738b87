"""The wizard on the screen: Textual, on the headless session of `flow`."""
