"""Cloth seen before it is woven: its threads, the light on them, how far the eye reads them."""
