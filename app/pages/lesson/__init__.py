"""The Lesson page: a class predicts, sees, and takes something home."""
