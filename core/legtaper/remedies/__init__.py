"""Changes of a design that mend what a check found, each tried by all the checks."""
