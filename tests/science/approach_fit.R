# The numbers in test_approach_fit.c that name R (4.2.2). The cure data are invented.
options(digits = 15)
age <- c(1, 2, 4, 7, 10, 14, 21, 28, 35, 42, 56, 70)
ph <- c(10.42, 10.31, 10.18, 9.96, 9.85, 9.74, 9.55, 9.49, 9.47, 9.41, 9.42, 9.40)
u <- c(0.08, 0.05, 0.05, 0.06, 0.04, 0.05, 0.05, 0.04, 0.09, 0.05, 0.05, 0.03)
# analytic derivatives, so that nls can converge to its full digits
model <- deriv(~ e + (s - e) * exp(-k * age), c("e", "s", "k"), function(age, e, s, k) NULL)
control <- nls.control(tol = 1e-8)
show <- function(w) {
  m <- nls(ph ~ model(age, e, s, k), start = list(e = 9.4, s = 10.5, k = 0.08), weights = w, control = control)
  v <- vcov(m); co <- coef(m); sd <- sqrt(diag(v))
  cat(sprintf("%.12g, ", c(co, sd, v[1, 2], v[1, 3], v[2, 3], sigma(m))), "\n")
  cat(sprintf("stated: %.12g, ", sd / sigma(m)), "\n")
  for (t in c(0, 5, 90)) {
    x <- exp(-co[3] * t)
    g <- c(1 - x, x, -(co[2] - co[1]) * t * x)
    cat(sprintf("    {%g, %.12g, %.12g},\n", t, co[1] + (co[2] - co[1]) * x, sqrt(g %*% v %*% g)))
  }
}
show(rep(1, 12))
show(1 / u^2)
# the start known to be 10.5
known <- deriv(~ e + (10.5 - e) * exp(-k * age), c("e", "k"), function(age, e, k) NULL)
m <- nls(ph ~ known(age, e, k), start = list(e = 9.4, k = 0.08), weights = 1 / u^2,
         control = nls.control(tol = 1e-7))
cat(sprintf("%.12g, ", c(coef(m), sqrt(diag(vcov(m))), vcov(m)[1, 2])), "\n")
