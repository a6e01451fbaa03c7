"""Vibration of cutter and work: structure, stability limits, simulation in time, measured responses."""
