"""The window and the commands of Chiparc."""
