# Times of R's mixed models on month.csv or year.csv: Rscript peers.R FILE NAME, one JSON line a model.
# The covariates but the log load are standardised; effects of session, exercise, and exercise and side.
args <- commandArgs(TRUE)
suppressMessages({library(lme4); library(ordinal)})
rows <- read.csv(args[1])
for (name in c("session", "exercise", "exside")) rows[[name]] <- factor(rows[[name]])
for (name in c("ecc", "rom", "order", "week")) rows[[paste0("z", name)]] <- as.numeric(scale(rows[[name]]))
rows$hurt <- as.numeric(rows$pain >= 2)
rows$score <- factor(rows$pain, ordered = TRUE)
right <- "lload + zecc + zrom + zorder + zweek + (1 | session) + (1 | exercise) + (1 | exside)"
of <- function(left) as.formula(paste(left, "~", right))
fits <- list(
  lmer = function() lmer(of("pain"), rows),
  glmer = function() glmer(of("hurt"), rows, binomial),
  clmm = function() clmm(of("score"), data = rows)
)
time <- system.time(fit <- suppressMessages(suppressWarnings(fits[[args[2]]]())))
package <- if (args[2] == "clmm") "ordinal" else "lme4"
log_likelihood <- if (args[2] == "clmm") fit$logLik else logLik(fit)
cat(sprintf(
  "{\"cpu\": %.4f, \"wall\": %.4f, \"log_likelihood\": %.8f, \"version\": \"%s %s, %s\"}\n",
  time[["user.self"]] + time[["sys.self"]], time[["elapsed"]], as.numeric(log_likelihood),
  package, as.character(packageVersion(package)), R.version.string
))
