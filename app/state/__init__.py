"""What is set, what is shown, and what is remembered."""
