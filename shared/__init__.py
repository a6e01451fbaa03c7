"""A package of its own, so that a stranger's package called ``shared`` on the path does not take its place."""
