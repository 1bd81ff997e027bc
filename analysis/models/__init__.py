"""Models of per-set pain and the records of their fits (layer: models)."""
