# Makes values.json; run in this folder. Data: intramural pH and PaCO2 of 8 people, 47 rows (Bland & Altman 1995,
# BMJ 310:446), typed from the paper; data.csv.
suppressMessages({library(lmerTest); library(jsonlite)})
rows <- read.csv("data.csv")
rows$person <- factor(rows$person)
ancova <- lm(paco2 ~ person + ph, rows)
table <- anova(ancova)
ss <- table[c("ph", "Residuals"), "Sum Sq"]
r <- sign(coef(ancova)["ph"]) * sqrt(ss[1] / sum(ss))
df <- df.residual(ancova)
rows$mean_ph <- ave(rows$ph, rows$person)
rows$within <- rows$ph - rows$mean_ph
rows$between <- rows$mean_ph - mean(rows$ph)
split <- lmer(paco2 ~ within + between + (1 | person), rows,
              control = lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10)))
s <- summary(split)$coefficients
write_json(list(
  made = paste0(R.version.string, "; lme4 ", packageVersion("lme4"), ", lmerTest ", packageVersion("lmerTest"), "; ",
                format(Sys.Date()), "; see make.R"),
  ancova_slope = unname(coef(ancova)["ph"]), r = unname(r), degrees_of_freedom = df,
  p = table["ph", "Pr(>F)"], fisher_95 = tanh(atanh(unname(r)) + c(-1, 1) * qnorm(.975) / sqrt(df - 1)),
  pooled_r = cor(rows$ph, rows$paco2),
  between_r = with(aggregate(cbind(ph, paco2) ~ person, rows, mean), cor(ph, paco2)),
  split = list(coefficients = unname(s[, "Estimate"]), std_errors = unname(s[, "Std. Error"]),
               degrees_of_freedom = unname(s[, "df"]), criterion = as.numeric(-2 * logLik(split)))),
  "values.json", auto_unbox = TRUE, digits = NA, pretty = TRUE)
