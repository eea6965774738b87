"""The findings: what is well, what is a warning and what fails."""
