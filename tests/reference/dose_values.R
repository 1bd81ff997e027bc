# Sourced by the make.R of the dose lines: doses at which a chance is reached, by MASS::dose.p, with Fieller's limits
# (Fieller 1954, J R Stat Soc B 16:175-185) written out.
suppressMessages({library(MASS); library(jsonlite)})

dose_line <- function(model, intercept, slope, p = c(.1, .25, .5, .75, .9)) {
  at <- dose.p(model, cf = c(intercept, slope), p = p)
  b <- coef(model)[c(intercept, slope)]
  v <- vcov(model)[c(intercept, slope), c(intercept, slope)]
  target <- family(model)$linkfun(p)
  z2 <- qnorm(.975)^2
  fieller <- sapply(target, function(t) {
    a <- b[2]^2 - z2 * v[2, 2]
    half <- (b[1] - t) * b[2] - z2 * v[1, 2]
    root <- sqrt(half^2 - a * ((b[1] - t)^2 - z2 * v[1, 1]))
    (-half + c(-1, 1) * root) / a
  })
  list(chance = p, dose = as.numeric(at), std_error = as.numeric(attr(at, "SE")),
       fieller_low = fieller[1, ], fieller_high = fieller[2, ])
}

dose_model <- function(model, ...) list(
  coefficients = as.numeric(coef(model)), std_errors = as.numeric(sqrt(diag(vcov(model)))),
  covariance = unname(vcov(model)), log_likelihood_of_counts = as.numeric(logLik(model)),
  deviance = deviance(model), lines = list(...))

tight_glm <- glm.control(epsilon = 1e-14, maxit = 100)

write_doses <- function(cases, packages = "MASS") {
  versions <- paste(packages, sapply(packages, function(p) as.character(packageVersion(p))), collapse = ", ")
  made <- paste0(R.version.string, "; ", versions, "; ", format(Sys.Date()), "; see make.R")
  write_json(c(list(made = made), cases), "values.json", auto_unbox = TRUE, digits = NA, pretty = TRUE)
}
