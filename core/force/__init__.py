"""The force of the cut: on an edge, on a tooth, over a turn, on the table."""
