"""What everything stands on: errors, places of data, safe writing, quantities and their units, words."""
