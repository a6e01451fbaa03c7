"""A whole path of the cutter: the program or drawing that tells it, the stock, and what is engaged on the way."""
