# Makes data.csv and values.json; run in this folder. Simulated sets: 12 sessions x 18 sets of 12 exercises on two
# sides, whole scores 0 to 10 that are mostly 0, so that some of the crossed spreads are most likely zero: the case in
# which searches for a maximum stop early (statsmodels' default does) or end on a boundary.
source("../lmer_values.R")
set.seed(20261125)
d <- expand.grid(set = 1:18, session = 1:12)[, c("session", "set")]
d$exercise <- (d$session + d$set) %% 12 + 1
d$side <- ifelse(d$set %% 2 == 0, "left", "right")
d$line <- paste(d$exercise, d$side)
d$log_load <- round(rnorm(nrow(d), 0, 0.3), 4)
eta <- -2.5 + 4 * d$log_load + rnorm(12, 0, 0.6)[d$session] + rnorm(12, 0, 0.8)[d$exercise] +
  rnorm(24, 0, 0.5)[as.integer(factor(d$line))]
d$pain <- pmin(10, pmax(0, ceiling(eta + rlogis(nrow(d)))))
write.csv(d, "data.csv", row.names = FALSE, quote = FALSE)
crossed <- pain ~ log_load + (1 | line) + (1 | session) + (1 | exercise)
# The linear companion: log load within and between the sessions of a line.
in_session <- ave(d$log_load, d$line, d$session)
d$within <- d$log_load - in_session
d$between <- in_session - ave(d$log_load, d$line)
write_cases(list(
  companion = lmer_case(pain ~ within + between + (1 | line) + (1 | session), d, TRUE, c(0.3, 0.2)),
  reml = lmer_case(crossed, d, TRUE, c(0.3, 0.2, 0.1)),
  ml = lmer_case(crossed, d, FALSE, c(0.3, 0.2, 0.1))))
print(table(d$pain))
