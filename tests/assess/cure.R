# The numbers in test_cure.c that name R (4.2.2). The cure data are invented.
options(digits = 12)
age <- c(1, 2, 4, 7, 10, 14, 21, 28, 35, 42, 56, 70)
ph <- c(10.42, 10.31, 10.18, 9.96, 9.85, 9.74, 9.55, 9.49, 9.47, 9.41, 9.42, 9.40)
u <- c(0.08, 0.05, 0.05, 0.06, 0.04, 0.05, 0.05, 0.04, 0.09, 0.05, 0.05, 0.03)
model <- deriv(~ e + (s - e) * exp(-k * age), c("e", "s", "k"), function(age, e, s, k) NULL)
m <- nls(ph ~ model(age, e, s, k), start = list(e = 9.4, s = 10.5, k = 0.08), weights = 1 / u^2,
         control = nls.control(tol = 1e-8))
co <- coef(m)
v <- vcov(m) / sigma(m)^2 # the stated uncertainties are to be believed
cat("misfit", pchisq(deviance(m), 9, lower.tail = FALSE), "\n")
edge <- function(t, side, target) {
  x <- exp(-co[3] * t)
  g <- c(1 - x, x, -(co[2] - co[1]) * t * x)
  co[1] + (co[2] - co[1]) * x + side * qnorm(0.975) * sqrt(c(g %*% v %*% g)) - target
}
for (target in c(10, 9.5)) {
  from <- uniroot(edge, c(2, 69), side = -1, target = target, tol = 1e-10)$root
  to <- uniroot(edge, c(2, 69), side = 1, target = target, tol = 1e-10)$root
  cat(sprintf("%g: %.8f to %.8f\n", target, from, to))
}
# a straight line over three ages
x <- c(3, 10, 24); y <- c(10.3, 10.1, 9.85); w <- 1 / c(0.05, 0.06, 0.05)^2
l <- lm(y ~ x, weights = w)
s <- summary(l)
cat("line misfit", pchisq(deviance(l), 1, lower.tail = FALSE), "\n")
band <- function(t, side) {
  g <- c(1, t)
  sum(coef(l) * g) + side * qnorm(0.975) * sqrt(c(g %*% s$cov.unscaled %*% g)) - 9.8
}
cat(sprintf("from %.8f, to %.8f\n", uniroot(band, c(3, 34.5), side = -1, tol = 1e-10)$root,
            tryCatch(uniroot(band, c(3, 60), side = 1, tol = 1e-10)$root, error = function(e) NA)))
cat(sprintf("chi-squared %.12g %.12g %.12g\n", pchisq(3.2, 1, lower = F), pchisq(16, 9, lower = F), pchisq(150, 100, lower = F)))
