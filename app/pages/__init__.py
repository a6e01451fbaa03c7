"""The pages over one setup."""
