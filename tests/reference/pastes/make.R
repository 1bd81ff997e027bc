# Makes values.json; run in this folder. Data: Davies & Goldsmith 1972, Statistical Methods in Research and
# Production, as shipped with lme4: casks nested in batches.
source("../lmer_values.R")
Pastes$cask_of_batch <- interaction(Pastes$batch, Pastes$cask, sep = ":", drop = TRUE)
nested <- strength ~ 1 + (1 | cask_of_batch) + (1 | batch)
write_cases(list(
  reml = lmer_case(nested, Pastes, TRUE, c(3.0, 1.2)),
  ml = lmer_case(nested, Pastes, FALSE, c(3.0, 1.2))))
