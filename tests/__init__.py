"""All checks of Chiparc."""
