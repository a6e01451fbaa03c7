"""The parts of the launcher; standard library only, and read by a Python too old for the program."""
