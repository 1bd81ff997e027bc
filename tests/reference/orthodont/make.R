# Makes values.json; run in this folder. Data: Potthoff & Roy 1964, Biometrika 51:313-326, as shipped with nlme.
# Age is not centred, so that intercept and slope are strongly correlated; nlme's own fit stands beside lme4's.
source("../lmer_values.R")
library(nlme)
d <- with(Orthodont, data.frame(distance, age, female = as.numeric(Sex == "Female"), Subject = as.character(Subject)))
slope <- distance ~ age * female + (age | Subject)
intercept <- distance ~ age * female + (1 | Subject)
own <- lme(distance ~ age * female, d, random = ~ age | Subject,
           control = lmeControl(tolerance = 1e-10, msTol = 1e-12, niterEM = 200, msMaxIter = 500))
write_cases(list(
  slope_reml = lmer_case(slope, d, TRUE, c(1.9, -0.1, 0.1)),
  slope_ml = lmer_case(slope, d, FALSE, c(1.9, -0.1, 0.1)),
  intercept_reml = lmer_case(intercept, d, TRUE, 1.2),
  nlme_slope_reml = list(criterion = as.numeric(-2 * logLik(own)), coefficients = as.numeric(fixef(own)),
                         std_errors = as.numeric(sqrt(diag(vcov(own)))), sigma = own$sigma)))
