"""The Chatter page: how deep, at which speed, in which direction."""
