"""Documents that must be refused, each with the line, the key and the words that its refusal must have."""
