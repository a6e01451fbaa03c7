"""The Path page: what a whole program does to the cutter."""
