# The numbers in test_planning.c that name R (4.2.2). The cure data are those of cure.R, invented.
options(digits = 12)
for (v in list(c(0.2, 0.8), c(0.1, 0.9), c(0.05, 0.8)))
  cat(v, ceiling(power.t.test(delta = v[1], sd = 0.05 * sqrt(2), power = v[2], type = "paired", strict = TRUE)$n),
      ceiling(power.t.test(delta = v[1], sd = 0.05, power = v[2], strict = TRUE)$n), "\n")
age <- c(1, 2, 4, 7, 10, 14, 21, 28, 35, 42, 56, 70)
ph <- c(10.42, 10.31, 10.18, 9.96, 9.85, 9.74, 9.55, 9.49, 9.47, 9.41, 9.42, 9.40)
u <- c(0.08, 0.05, 0.05, 0.06, 0.04, 0.05, 0.05, 0.04, 0.09, 0.05, 0.05, 0.03)
model <- deriv(~ e + (s - e) * exp(-k * age), c("e", "s", "k"), function(age, e, s, k) NULL)
m <- nls(ph ~ model(age, e, s, k), start = list(e = 9.4, s = 10.5, k = 0.08), weights = 1 / u^2,
         control = nls.control(tol = 1e-8))
co <- coef(m)
gradient <- function(t) { x <- exp(-co[3] * t); cbind(1 - x, x, -(co[2] - co[1]) * t * x) }
half <- function(ages, us) { g <- gradient(ages); qnorm(0.975) * sqrt(solve(t(g / us) %*% (g / us))[1, 1]) }
cat(sprintf("now %.10f\n", half(age, u)))
t <- 84
cat(sprintf("%g: %.10f\n", t, half(c(age, t), c(u, sqrt(mean(u^2))))))
