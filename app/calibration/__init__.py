"""The picture of a calibration."""
