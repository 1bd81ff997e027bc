# Makes values.json: run in this folder with R 4.2.2 and ordinal 2022.11.16. Data: wine bitterness (Randall 1989,
# Biometrics 45:781-792), as shipped with ordinal; data.csv beside this file holds the same 72 rows.
source("../polish.R")
d <- read.csv("data.csv")
d$rating <- ordered(d$rating)
d$temp <- factor(d$temp, levels = c("cold", "warm"))
d$contact <- factor(d$contact, levels = c("no", "yes"))
d$judge <- factor(d$judge)
without <- function(link) {
  fit <- clm(rating ~ temp + contact, data = d, link = link, control = clm.control(gradTol = 1e-12, maxIter = 200))
  list(estimate = as.list(coef(fit)), std_error = as.list(sqrt(diag(vcov(fit)))), log_likelihood = as.numeric(logLik(fit)))
}
with_judge <- function(link, nAGQ) polished(rating ~ temp + contact + (1 | judge), d, link, nAGQ)
write_values(list(
  clm_logit = without("logit"), clm_probit = without("probit"),
  clmm_logit_1 = with_judge("logit", 1), clmm_logit_10 = with_judge("logit", 10),
  clmm_probit_1 = with_judge("probit", 1), clmm_probit_10 = with_judge("probit", 10)
))
