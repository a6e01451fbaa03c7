"""The milling model of Chiparc: plain numpy, no window, usable as a library."""
