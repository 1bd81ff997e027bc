# Makes values.json: run in this folder with R 4.2.2 and lme4 1.1.31. Data: all 316 persons of VerbAgg, answers "yes" or
# "perhaps" against "no" (its column r2): lme4's own example of glmer with quadrature.
library(lme4)
source("../polish.R")
tight <- glmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5), tolPwrss = 1e-12,
                      check.conv.singular = "ignore")
as_values <- function(fit) list(estimate = as.list(fixef(fit)), std_error = as.list(sqrt(diag(as.matrix(vcov(fit))))),
                                sd = as.data.frame(VarCorr(fit))$sdcor, log_likelihood = as.numeric(logLik(fit)))
one <- function(nAGQ, link = "logit")
  as_values(glmer(r2 ~ btype + mode + (1 | id), VerbAgg, binomial(link), nAGQ = nAGQ, control = tight))
# With the probit link glmer places its nodes by expected curvature (Fisher scoring), not by the observed one; its ten
# nodes then differ from ten nodes placed by observed curvature by 5.6e-5 of log-likelihood. Twenty-five settle it.
write_values(list(glmer_1 = one(1), glmer_10 = one(10), glmer_probit_25 = one(25, "probit")))
