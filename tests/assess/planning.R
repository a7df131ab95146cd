# The numbers in test_planning.c that name R (4.2.2).
options(digits = 12)
for (v in list(c(0.2, 0.8), c(0.1, 0.9), c(0.05, 0.8)))
  cat(v, ceiling(power.t.test(delta = v[1], sd = 0.05 * sqrt(2), power = v[2], type = "paired", strict = TRUE)$n),
      ceiling(power.t.test(delta = v[1], sd = 0.05, power = v[2], strict = TRUE)$n), "\n")
qchisq(0.2, 4)
