# The numbers in test_approach_fit.c that name R (4.2.2), and data/approach_sets.csv with data/approach_fits.csv, which
# this writes. All data are invented.
options(digits = 15)
age <- c(1, 2, 4, 7, 10, 14, 21, 28, 35, 42, 56, 70)
ph <- c(10.42, 10.31, 10.18, 9.96, 9.85, 9.74, 9.55, 9.49, 9.47, 9.41, 9.42, 9.40)
u <- c(0.08, 0.05, 0.05, 0.06, 0.04, 0.05, 0.05, 0.04, 0.09, 0.05, 0.05, 0.03)
# analytic derivatives, so that nls can converge to its full digits
model <- deriv(~ e + d * exp(-k * t), c("e", "d", "k"), function(t, e, d, k) NULL)
fit <- function(t, y, sd, start) { # whitened by the given covariance, here its diagonal; the best of several starts
  white <- function(e, d, k) { f <- model(t, e, d, k); g <- attr(f, "gradient") / sd; f <- f / sd; attr(f, "gradient") <- g; f }
  from <- function(k) tryCatch(nls(z ~ white(e, d, k), data = list(z = y / sd), start = modifyList(start, list(k = k)),
      control = nls.control(tol = 1e-7, maxiter = 500, minFactor = 1e-10)), error = function(x) NULL)
  found <- Filter(Negate(is.null), lapply(c(start$k, 0.01, 0.03, 0.1, 0.2, 0.4), from))
  if (length(found) == 0) rep(NA, 3) else coef(found[[which.min(sapply(found, deviance))]])
}
for (s in list(rep(1, 12), u)) cat(sprintf("%.12g, ", fit(age - 1, ph, s, list(e = 9.4, d = 1, k = 0.09))), "\n")
# 150 sets, of which more than 100 have a minimum within the grid; the shared column is one error in units of its own standard uncertainty, as each result feels it
set.seed(14)
sets <- file("data/approach_sets.csv", "w"); fits <- file("data/approach_fits.csv", "w")
writeLines("set,t,y,sd,shared", sets); writeLines("set,end,drop,rate,shared_end,shared_20", fits)
for (n in 1:150) {
  t <- sort(sample(0:120, sample(4:14, 1))); t <- t - t[1]
  e <- runif(1, 9.2, 9.9); d <- runif(1, 0.3, 1.4); k <- exp(runif(1, log(0.01), log(0.3)))
  sd <- round(runif(length(t), 0.02, 0.08), 3); shared <- round(runif(1, 0.01, 0.05) + 0.0005 * t * rnorm(1), 5)
  y <- round(e + d * exp(-k * t) + sd * rnorm(length(t)) + shared * rnorm(1), 4)
  co <- fit(t, y, sd, list(e = e, d = d, k = k))
  best <- NA
  if (!any(is.na(co)) && co[3] > 0) {
    J <- attr(model(t, co[1], co[2], co[3]), "gradient"); W <- diag(1 / sd^2)
    row <- function(c) c %*% solve(t(J) %*% W %*% J) %*% t(J) %*% W
    x <- exp(-co[3] * 20)
    best <- c(co, row(c(1, 0, 0)) %*% shared, row(c(1, x, -co[2] * 20 * x)) %*% shared)
  }
  writeLines(sprintf("%d,%.17g,%.17g,%.17g,%.17g", n, t, y, sd, shared), sets)
  writeLines(if (length(best) == 1) sprintf("%d,,,,,", n) else sprintf("%d,%.12g,%.12g,%.12g,%.12g,%.12g", n, best[1], best[2], best[3], best[4], best[5]), fits)
}
close(sets); close(fits)
