"""The wizard as line prompts: for screen readers, simple terminals and pipes."""

from legtaper_wizard.plain.opening import run

__all__ = ["run"]
