"""Documents: strict reading and comment-keeping writing of setups, materials and tables."""
