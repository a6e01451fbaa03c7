"""Which direction, why, and what to change."""
