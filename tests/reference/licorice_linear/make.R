# Makes values.json; run in this folder. Data: throat pain 0 to 10 after surgery, 233 patients at up to 4 times
# (Ruetzler et al. 2013, Anesth Analg 117:614-621). data.csv is not kept; make it from the copy the test reads:
#   python -c "from tests.reference.licorice.scores import long_scores; long_scores().to_csv('data.csv', index=False)"
source("../lmer_values.R")
rows <- read.csv("data.csv")
rows$time <- factor(rows$time, levels = c("30min", "90min", "4h", "morning"))
rows$id <- factor(rows$id)
scores <- pain ~ treat + time + (1 | id)
write_cases(list(
  reml = lmer_case(scores, rows, TRUE, 0.9),
  ml = lmer_case(scores, rows, FALSE, 0.9)))
