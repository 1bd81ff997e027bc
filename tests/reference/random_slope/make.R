# Makes values.json: run in this folder with R 4.2.2, ordinal 2022.11.16 and lme4 1.1.31. Data: the first 30 persons of
# VerbAgg (see ../crossed/make.R). A person's intercept and a person's own effect of "do" against "want", uncorrelated.
library(lme4)
source("../polish.R")
d <- droplevels(VerbAgg[as.integer(VerbAgg$id) <= 30, ])
d$do <- as.numeric(d$mode == "do")
write_values(list(clmm_1 = polished(resp ~ do + btype + (1 | id) + (0 + do | id), d)))
