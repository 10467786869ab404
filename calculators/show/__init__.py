"""How calculations are shown: as steps, as mathematics, as pages, sheets and texts."""
