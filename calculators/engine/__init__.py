"""What carries every calculation: terms, and formulas that are read in three ways."""
