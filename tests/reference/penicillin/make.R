# Makes values.json; run in this folder. Data: Davies & Goldsmith 1972, Statistical Methods in Research and
# Production, as shipped with lme4: 24 plates crossed with 6 samples.
source("../lmer_values.R")
crossed <- diameter ~ 1 + (1 | plate) + (1 | sample)
write_cases(list(
  reml = lmer_case(crossed, Penicillin, TRUE, c(1.1, 2.5)),
  ml = lmer_case(crossed, Penicillin, FALSE, c(1.1, 2.5))))
