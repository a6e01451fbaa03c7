"""Force coefficients from a person's own measured forces."""
