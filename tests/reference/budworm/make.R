# Makes values.json; run in this folder. Data: tobacco budworm moths killed of 20 at doses 1, 2, 4, ..., 32 micrograms
# (Collett 1991, Modelling Binary Data, p. 75), typed as in ?MASS::dose.p; dose on log2.
source("../dose_values.R")
library(survival)
ldose <- rep(0:5, 2)
dead <- c(1, 4, 9, 13, 18, 20, 0, 2, 6, 10, 12, 16)
sex <- factor(rep(c("M", "F"), c(6, 6)))
alive <- 20 - dead
fit <- function(link) {
  model <- glm(cbind(dead, alive) ~ sex + ldose - 1, family = binomial(link), control = tight_glm)
  dose_model(model, female = dose_line(model, 1, 3), male = dose_line(model, 2, 3))
}
# Each moth's own lethal dose, known only to lie below the dose (dead) or above it (alive), normal with one spread.
rows <- rbind(data.frame(low = NA, high = ldose, sex, n = dead), data.frame(low = ldose, high = NA, sex, n = alive))
rows <- rows[rows$n > 0, ]
tolerance <- survreg(Surv(low, high, type = "interval2") ~ sex - 1, rows, weights = n, dist = "gaussian",
                     control = survreg.control(rel.tolerance = 1e-13, maxiter = 200))
write_doses(list(
  logit = fit("logit"), probit = fit("probit"),
  current_status = list(means_female_male = as.numeric(coef(tolerance)), sd = tolerance$scale,
                        std_errors = as.numeric(sqrt(diag(vcov(tolerance))))[1:2],
                        log_likelihood = tolerance$loglik[2])), c("MASS", "survival"))
