# The numbers in test_distribution.c, R 4.2.2: print with enough digits.
options(digits = 15)
for (d in c(0.5, 1, 2, 3.3, 12.8, 31, 100, 1e4, 1e6)) for (t in c(0.1, 2, 12))
  cat(sprintf("    {%.15g, %.15g, %.15g},\n", t, d, pt(t, d, lower.tail = FALSE)))
for (d in c(1, 2.5, 7, 40, 1e5)) for (p in c(0.001, 0.4, 0.975))
  cat(sprintf("    {%.15g, %.15g, %.15g},\n", p, d, qt(p, d)))
# the rectangle and the normal distribution together: the convolution as an integral, solved by uniroot()
q <- function(A, s, p) uniroot(function(x) integrate(function(u) pnorm((x - u) / s) / (2 * A), -A, A, rel.tol = 1e-12)$value - p, c(0, A + 10 * s), tol = 1e-13)$root
for (r in list(c(0.1, 0.02, 0.975), c(0.1, 0.1, 0.975), c(0.2, 0.01, 0.99), c(0.05, 0.2, 0.95), c(1, 0.3, 0.6)))
  cat(sprintf("{%g, %g, %g, %.12g},\n", r[1], r[2], r[3], q(r[1], r[2], r[3])))
