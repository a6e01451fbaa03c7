"""Curves over the tooth angle, ready to be drawn."""
