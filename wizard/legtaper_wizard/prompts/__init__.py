"""The wizard as line prompts: for screen readers, simple terminals and pipes."""

from legtaper_wizard.prompts.open_prompts import run

__all__ = ["run"]
