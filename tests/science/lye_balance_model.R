# Reference values of test_lye_balance_model.c, made with R 4.2.2: Rscript lye_balance_model.R
# The same recipes by R's own generator (Mersenne Twister), 10 times a million draws.
set.seed(20260302)
k <- 39.997 / 56.105
between <- function(n, low, high) runif(n, low, high)
about <- function(n, middle, half) runif(n, middle - half, middle + half)

superfat <- function(n) {
  needed <- (about(n, 500, 0.5) * between(n, 184, 196) + about(n, 250, 0.5) * between(n, 248, 265) +
             about(n, 50, 0.5) * between(n, 160, 195)) * k / 1000
  given <- about(n, 119, 0.05) * between(n, 0.97, 0.99) + about(n, 10, 0.05) * between(n, 0.85, 0.92) * k
  taken <- about(n, 10, 0.05) * between(n, 0.57101, 0.62455)
  100 * (1 - (given - taken) / needed)
}
# The NaOH that each draw could take, the KOH being decided.
greatest <- function(n) {
  needed <- (about(n, 500, 0.5) * between(n, 184, 196) + about(n, 250, 0.5) * between(n, 248, 265) +
             about(n, 50, 0.5) * between(n, 160, 195)) * k / 1000
  given <- about(n, 10, 0.05) * between(n, 0.85, 0.92) * k
  taken <- about(n, 10, 0.05) * between(n, 0.57101, 0.62455)
  (needed + taken - given) / between(n, 0.97, 0.99) - about(n, 0, 0.05)
}
s <- as.vector(replicate(10, superfat(1e6)))
g <- as.vector(replicate(10, greatest(1e6)))
cat(sprintf("mean %.5f sd %.5f q025 %.4f q975 %.4f p %.6f\n", mean(s), sd(s), quantile(s, 0.025),
            quantile(s, 0.975), mean(s < 0)))
cat(sprintf("greatest q05 %.4f, q001 %.4f\n", quantile(g, 0.05), quantile(g, 0.001)))
# Bounds within which the sum of 100 squared standard normals lies with probability 0.998.
cat(sprintf("chi-squared %.3f %.3f\n", qchisq(0.001, 100), qchisq(0.999, 100)))
