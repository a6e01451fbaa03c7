"""What a person sets, and what each figure may be."""
