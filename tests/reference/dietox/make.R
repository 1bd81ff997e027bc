# Makes values.json; run in this folder. Data: weights of 72 pigs over 12 weeks (Lauridsen, Hoejsgaard & Sorensen
# 1999, J Anim Sci 77:906-916), as shipped with geepack.
source("../lmer_values.R")
data(dietox, package = "geepack")
intercept <- Weight ~ Time + (1 | Pig)
slope <- Weight ~ Time + (Time | Pig)
write_cases(list(
  intercept_reml = lmer_case(intercept, dietox, TRUE, 1.5),
  intercept_ml = lmer_case(intercept, dietox, FALSE, 1.5),
  slope_reml = lmer_case(slope, dietox, TRUE, c(1.5, 0.1, 0.2)),
  slope_ml = lmer_case(slope, dietox, FALSE, c(1.5, 0.1, 0.2))))
