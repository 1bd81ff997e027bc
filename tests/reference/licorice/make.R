# Makes values.json: run in this folder with R 4.2.2 and ordinal 2022.11.16. Data: throat pain 0-10 after surgery, four
# times a patient (Ruetzler et al. 2013, Anesth Analg 117:614-621), as `licorice_gargle` of R's medicaldata. data.csv is
# not kept; make it from the same open copy the test reads:
#   python -c "from tests.reference.licorice.scores import long_scores; long_scores().to_csv('data.csv', index=False)"
source("../polish.R")
d <- read.csv("data.csv")
d$pain <- ordered(d$pain)
d$time <- factor(d$time, levels = c("30min", "90min", "4h", "morning"))
d$id <- factor(d$id)
default <- function(rows) {
  fit <- clmm(pain ~ treat + time + (1 | id), d[rows, ])
  list(log_likelihood = as.numeric(logLik(fit)), last_cutpoint_std_error = unname(sqrt(diag(vcov(fit)))["6|7"]),
       message = fit$optRes$message)
}
write_values(list(
  clmm_1 = polished(pain ~ treat + time + (1 | id), d, nAGQ = 1),
  clmm_10 = polished(pain ~ treat + time + (1 | id), d, nAGQ = 10),
  default_by_row_order = list(as_stored = default(seq_len(nrow(d))), by_patient = default(order(d$id, d$time)),
                              by_time = default(order(d$time, d$id)))
))
