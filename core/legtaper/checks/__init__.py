"""The findings: what is well, what wants care and what fails."""
