"""One question of the coach a file: functions of a fit or a log that return the answer (layer: questions)."""
