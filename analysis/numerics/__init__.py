"""Numbers-only core: arrays in, arrays out, numpy and scipy only (layer: numerics)."""
