# Sourced by the make.R of the linear mixed cases. lmer stops when variances are good to about four digits; here its
# own criterion is searched on until rhoend = 1e-10. The degrees of freedom are Satterthwaite's, from lmerTest.
suppressMessages({library(lme4); library(lmerTest); library(jsonlite)})

tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhobeg = 1e-3, rhoend = 1e-10, maxfun = 1e5),
                     check.conv.singular = "ignore")

lmer_case <- function(formula, data, REML, fixed_theta) {
  first <- lme4::lmer(formula, data, REML = REML, control = lmerControl(check.conv.singular = "ignore"))
  fit <- update(first, control = tight, start = getME(first, "theta"))
  fit <- update(fit, control = tight, start = getME(fit, "theta"))
  devfun <- update(fit, devFunOnly = TRUE)
  with_df <- as_lmerModLmerTest(fit)
  terms <- VarCorr(fit)
  modes <- lapply(ranef(fit, condVar = FALSE), function(one) apply(as.matrix(one), 1, as.numeric, simplify = FALSE))
  list(call = paste(deparse1(formula), if (REML) "REML" else "ML"),
       random_terms = I(names(terms)),
       fixed_theta = I(fixed_theta),
       criterion_at_fixed_theta = devfun(fixed_theta),
       criterion = as.numeric(-2 * logLik(fit)),
       coefficients = as.numeric(fixef(fit)),
       std_errors = as.numeric(sqrt(diag(as.matrix(vcov(fit))))),
       degrees_of_freedom = as.numeric(summary(with_df)$coefficients[, "df"]),
       theta = I(as.numeric(getME(fit, "theta"))),
       covariances = lapply(seq_along(terms), function(i) matrix(as.numeric(terms[[i]]), nrow(terms[[i]]))),
       sigma = sigma(fit),
       modes = modes,
       singular = isSingular(fit))
}

write_cases <- function(cases) {
  packages <- c("lme4", "lmerTest", if ("nlme" %in% loadedNamespaces()) "nlme")
  versions <- paste(packages, sapply(packages, function(p) as.character(packageVersion(p))), collapse = ", ")
  made <- paste0(R.version.string, "; ", versions, "; ", format(Sys.Date()), "; see make.R")
  write_json(c(list(made = made), cases), "values.json", auto_unbox = TRUE, digits = NA, pretty = TRUE)
}
