"""Sentences and numbers as people read them: pure functions from results to plain text (layer: wording)."""
