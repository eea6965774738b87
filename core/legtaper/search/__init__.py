"""The inverse questions: many variants of a design at once. Data only."""
