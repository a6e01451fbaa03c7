"""The report: figures as data, as text, as a sentence."""
