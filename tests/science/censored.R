# The numbers in test_censored.c (R 4.2.2, survival). Meter and paper readings are invented.
library(survival)
show <- function(low, high) {
  m <- survreg(Surv(low, high, type = "interval2") ~ 1, dist = "gaussian",
               control = survreg.control(rel.tolerance = 1e-14, maxiter = 200))
  v <- vcov(m); s <- m$scale
  cat(sprintf("%.12g, ", c(coef(m), s, sqrt(v[1, 1]), s * sqrt(v[2, 2]), s * v[1, 2], m$loglik[1])), "\n")
}
meter <- c(9.42, 9.87, 10.15, 9.61, 10.48, 8.93, 9.75, 10.92, 9.38, 10.31)
paper <- c(9, 9, 9, 8, 10, 8, 9, 10, 9, 9) # low end of a step of one
show(meter - (paper + 1), meter - paper)
# steps of a half, a wider one, and two readings taken as exact
low <- c(-0.31, 0.12, 0.44, -0.05, 0.9, 0.33, -0.6)
high <- c(0.19, 0.62, 0.94, 0.45, 1.4, 0.33, -0.6)
show(low, high)
show(c(1.2, 0.4, 2.2, 1.9, 0.7), c(1.2, 0.4, 2.2, 1.9, 0.7))
