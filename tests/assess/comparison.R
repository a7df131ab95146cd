# The numbers in test_comparison.c that name R (4.2.2). The readings are invented.
options(digits = 12)
show <- function(first, second, paired, margin) {
  m <- t.test(second, first, paired = paired)
  lo <- t.test(second, first, paired = paired, mu = -margin, alternative = "greater")$p.value
  hi <- t.test(second, first, paired = paired, mu = margin, alternative = "less")$p.value
  d <- if (paired) mean(second - first) else mean(second) - mean(first)
  cat(sprintf("%.10g, ", c(d, m$stderr, m$parameter, m$conf.int, m$statistic, m$p.value, max(lo, hi))), "\n")
}
detect <- function(n, sd, type)
  cat(sprintf("detectable %.8g\n", power.t.test(n = n, sd = sd, power = 0.8, type = type, strict = TRUE, tol = 1e-12)$delta))
# same ages, differences 0.00, -0.08, -0.07
show(c(10.40, 9.95, 9.60), c(10.40, 9.87, 9.53), TRUE, 0.2)
detect(3, sd(c(0, -0.08, -0.07)), "paired")
# ages 3, 10.5, 28, 61 against 3.9, 10, 30, 90: three pairs
show(c(10.31, 9.90, 9.61), c(10.72, 10.25, 10.09), TRUE, 0.2)
# three bars against four, one sitting each
first <- c(9.71, 9.78, 9.74); second <- c(9.52, 9.60, 9.49, 9.55)
show(first, second, FALSE, 0.1)
pooled <- sqrt((2 * var(first) + 3 * var(second)) / 5)
detect(3, pooled, "two.sample")
# Holm
cat(sprintf("%.10g, ", p.adjust(c(0.03, 0.02, 0.04), "holm")), "\n")
# beside t, by ranks alone
cat(wilcox.test(c(9.71, 9.78, 9.74), c(9.52, 9.60, 9.49, 9.55))$p.value, wilcox.test(c(-0.03, -0.08, -0.07, -0.05))$p.value, "\n")
