# Makes values.json; run in this folder. Data: beetles killed by carbon disulphide (Bliss 1935, Ann Appl Biol
# 22:134-167), dose on log10, as printed in Dobson & Barnett, An Introduction to Generalized Linear Models.
source("../dose_values.R")
dose <- c(1.6907, 1.7242, 1.7552, 1.7842, 1.8113, 1.8369, 1.8610, 1.8839)
n <- c(59, 60, 62, 56, 63, 59, 62, 60)
dead <- c(6, 13, 18, 28, 52, 53, 61, 60)
fit <- function(link) {
  model <- glm(cbind(dead, n - dead) ~ dose, family = binomial(link), control = tight_glm)
  dose_model(model, all = dose_line(model, 1, 2))
}
write_doses(list(logit = fit("logit"), probit = fit("probit")))
