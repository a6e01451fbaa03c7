"""Lessons: scenes over setups, predictions whose answers are computed, worksheets."""
