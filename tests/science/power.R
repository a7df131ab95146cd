# The numbers in test_power.c and of the noncentral t in test_distribution.c (R 4.2.2).
options(digits = 15)
for (v in list(c(2, 3, 1.5), c(12.7, 1, 5), c(2.3, 8, -1), c(-1, 5, 0.7), c(-3, 20, -2.5), c(0, 4, 1.2), c(2, 4, 0),
               c(30, 10, 25), c(2, 1000, 2.5), c(40, 50, 36), c(0.5, 1.5, 3)))
  cat(sprintf("    {%.15g, %.15g, %.15g, %.15g},\n", v[1], v[2], v[3], pt(v[1], v[2], v[3], lower.tail = FALSE)))
# beyond R's series (it turns to an approximation at 37.62): the defining integral over s = sqrt(chi2 / dof)
direct <- function(t, d, n) integrate(function(s) pnorm(t * s - n, lower.tail = FALSE) *
  exp(dchisq(s^2 * d, d, log = TRUE) + log(2 * s * d)), 0.3, 3, rel.tol = 1e-12, subdivisions = 2000)$value
for (v in list(c(100, 30, 100), c(190, 60, 200), c(520, 40, 500)))
  cat(sprintf("    {%.15g, %.15g, %.15g, %.13g},\n", v[1], v[2], v[3], direct(v[1], v[2], v[3])))
types <- c("one.sample", "paired", "two.sample")
f <- function(...) power.t.test(..., strict = TRUE, tol = 1e-13)
for (k in 1:3) for (v in list(c(3, 0.2, 0.1, 0.05), c(8, 0.2, 0.15, 0.05), c(20, 0.05, 0.1, 0.01), c(2, 0.3, 0.1, 0.05)))
  cat(sprintf("    {%d, %g, %g, %g, %g, %.12g},\n", k - 1, v[1], v[2], v[3], v[4],
              f(n = v[1], delta = v[2], sd = v[3], sig.level = v[4], type = types[k])$power))
for (k in 1:3) for (v in list(c(0.2, 0.1, 0.05, 0.8), c(0.05, 0.1, 0.05, 0.9), c(0.1, 0.04, 0.01, 0.95)))
  cat(sprintf("    {%d, %g, %g, %g, %g, %.6f},\n", k - 1, v[1], v[2], v[3], v[4],
              f(delta = v[1], sd = v[2], sig.level = v[3], power = v[4], type = types[k])$n))
for (k in 1:3) for (v in list(c(3, 0.1, 0.05, 0.8), c(10, 0.1, 0.05, 0.9), c(50, 0.02, 0.01, 0.95)))
  cat(sprintf("    {%d, %g, %g, %g, %g, %.9g},\n", k - 1, v[1], v[2], v[3], v[4],
              f(n = v[1], sd = v[2], sig.level = v[3], power = v[4], type = types[k])$delta))
