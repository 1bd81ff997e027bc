# Makes values.json: run in this folder with R 4.2.2 and lme4 1.1.31. clmm refuses a factor of two levels
# ("all(sapply(gfl, nlevels) > 2) is not TRUE"), glmer takes it: wine bitterness above 2 against the rest, with
# temperature (cold, warm) as the random factor. data.csv of ../wine.
library(lme4)
source("../polish.R")
d <- read.csv("../wine/data.csv")
d$bitter <- as.numeric(d$rating > 2)
tight <- glmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5), tolPwrss = 1e-12)
one <- function(nAGQ) {
  fit <- glmer(bitter ~ contact + (1 | temp), d, binomial, nAGQ = nAGQ, control = tight)
  list(estimate = as.list(fixef(fit)), std_error = as.list(sqrt(diag(as.matrix(vcov(fit))))),
       sd = as.data.frame(VarCorr(fit))$sdcor, log_likelihood = as.numeric(logLik(fit)),
       modes = ranef(fit)$temp[["(Intercept)"]])
}
write_values(list(glmer_1 = one(1), glmer_10 = one(10)))
