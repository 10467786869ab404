"""What builds, serves, checks and measures the handbook."""
