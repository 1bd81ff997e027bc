# Makes values.json: R 4.2.2, package ordinal 2022.11.16. Data: wine bitterness (Randall 1989, Biometrics
# 45:781-792), as shipped with ordinal; data.csv beside this file holds the same 72 rows.
library(ordinal)
d <- read.csv("data.csv")
d$rating <- ordered(d$rating)
d$temp <- factor(d$temp, levels = c("cold", "warm"))
d$contact <- factor(d$contact, levels = c("no", "yes"))
d$judge <- factor(d$judge)
print(summary(clm(rating ~ temp + contact, data = d)), digits = 12)
print(summary(clmm(rating ~ temp + contact + (1 | judge), data = d)), digits = 12)
# The same Laplace fit with the inner search carried on to its end: clmm's default stops it early, which leaves
# its log-likelihood 3.5e-6 off at its own estimates.
tight <- clmm(rating ~ temp + contact + (1 | judge), data = d,
              control = clmm.control(gradTol = 1e-10, maxIter = 500, innerCtrl = "noWarn"))
print(c(tight$alpha, tight$beta, sd = sqrt(VarCorr(tight)$judge[1]), logLik = as.numeric(logLik(tight))), digits = 13)
