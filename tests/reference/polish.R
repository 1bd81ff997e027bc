# Sourced by the make.R of the cases. clmm stops where its own numerical gradient is small; here its own criterion
# (ordinal's internal objective, reached with doFit = FALSE) is climbed on by Newton's method with Richardson
# derivatives (numDeriv), so that values agree to the digits its rounding allows.
library(ordinal)
library(numDeriv)

tight_control <- function() clmm.control(gradTol = 1e-10, maxIter = 500, innerCtrl = "noWarn")

# Steps of 3 % and less: the default 10 % would carry one cutpoint past the next.
slope_of <- function(f, par) grad(f, par, method.args = list(d = 0.03))
curvature_of <- function(f, par) hessian(f, par, method.args = list(d = 0.03))

polished <- function(formula, data, link = "logit", nAGQ = 1L, rounds = 3) {
  default <- clmm(formula, data = data, link = link, nAGQ = nAGQ)
  fit <- clmm(formula, data = data, link = link, nAGQ = nAGQ, control = tight_control())
  rho <- clmm(formula, data = data, link = link, nAGQ = nAGQ, control = tight_control(), doFit = FALSE)
  single <- length(fit$gfList) == 1L && length(fit$ST) == 1L
  objective <- if (!single) ordinal:::getNLA else if (nAGQ > 1) ordinal:::getNAGQ.ssr else ordinal:::getNLA.ssr
  f <- function(par) objective(rho, par)
  par <- fit$optRes$par
  for (round in seq_len(rounds)) {
    par <- par - solve(curvature_of(f, par), slope_of(f, par))
  }
  value <- f(par)
  se <- sqrt(diag(solve(curvature_of(f, par))))
  n_fixed <- fit$dims$nfepar
  names(par) <- names(se) <- c(names(fit$coefficients), paste0("log_sd_", seq_len(length(par) - n_fixed)))
  modes <- variances <- NULL
  if (single) {                        # scaled effects and curvature as ordinal's own clmm.fit.ssr takes them
    f(par)
    ordinal:::nllBase.uC(rho)
    ordinal:::update.uC(rho)
    modes <- rho$u * rho$tau
    variances <- 1 / rho$D * rho$tau^2
  }
  list(estimate = as.list(par), std_error = as.list(se), log_likelihood = -value,
       max_gradient = max(abs(slope_of(f, par))), modes = modes, mode_variances = variances,
       clmm_default = list(std_error = as.list(sqrt(diag(vcov(default)))), log_likelihood = as.numeric(logLik(default)),
                           message = default$optRes$message))
}

write_values <- function(cases, file = "values.json") {
  text <- function(x, indent = 1) {
    pad <- strrep(" ", indent)
    if (is.null(x)) return("null")
    if (is.list(x)) {
      inner <- mapply(function(k, v) paste0(pad, "\"", k, "\": ", text(v, indent + 1)), names(x), x)
      return(paste0("{\n", paste(inner, collapse = ",\n"), "\n", strrep(" ", indent - 1), "}"))
    }
    if (is.character(x)) return(paste0("\"", x, "\""))
    one <- formatC(x, digits = 13, format = "g", width = 1)
    if (length(x) == 1) one else paste0("[", paste(one, collapse = ", "), "]")
  }
  made <- paste0(R.version.string, "; ordinal ", packageVersion("ordinal"), ", numDeriv ", packageVersion("numDeriv"),
                 if ("lme4" %in% loadedNamespaces()) paste0(", lme4 ", packageVersion("lme4")), "; see make.R")
  cat(text(c(list(made = made), cases)), "\n", sep = "", file = file)
}
