# Makes values.json: run in this folder with R 4.2.2, ordinal 2022.11.16 and lme4 1.1.31. Data: the first 30 persons of
# verbal aggression (Vansteelandt 2000; De Boeck & Wilson 2004, Explanatory Item Response Models), lme4's VerbAgg: three
# ordered answers to each of 24 items, so that persons and items are crossed.
library(lme4)
source("../polish.R")
d <- droplevels(VerbAgg[as.integer(VerbAgg$id) <= 30, ])
d$do <- as.numeric(d$mode == "do")
write_values(list(clmm_1 = polished(resp ~ do + btype + (1 | id) + (1 | item), d)))
