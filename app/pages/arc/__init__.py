"""The Arc page: what one tooth goes through, and what follows from it."""
