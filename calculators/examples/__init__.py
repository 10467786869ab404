"""Worked examples: one project told with its numbers, by the handbook or by whoever wove it."""
