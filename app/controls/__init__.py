"""What every page uses to set a cut and to tell of it: hand-rail, sentence bar."""
