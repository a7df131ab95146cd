# The numbers in test_two_samples.c (R 4.2.2). Readings are invented.
options(digits = 15)
show <- function(a, b, paired, margin) {
  m <- t.test(a, b, paired = paired)
  lo <- t.test(a, b, paired = paired, mu = -margin, alternative = "greater")$p.value
  hi <- t.test(a, b, paired = paired, mu = margin, alternative = "less")$p.value
  d <- if (paired) mean(a - b) else mean(a) - mean(b)
  cat(sprintf("%.15g, ", c(d, m$stderr, m$parameter, m$statistic, m$p.value, m$conf.int, lo, hi)), "\n")
}
show(c(9.70, 9.60, 9.50), c(9.70, 9.68, 9.57), TRUE, 0.2)
show(c(9.87, 9.75, 9.66, 9.58, 9.55), c(9.61, 9.48, 9.44, 9.29, 9.33), TRUE, 0.2)
show(c(9.87, 9.75, 9.66, 9.58, 9.55), c(9.61, 9.48, 9.44), FALSE, 0.5)
show(c(9.81, 9.84, 9.86), c(9.83, 9.80, 9.99, 9.71, 9.88, 9.92), FALSE, 0.1)
cat(sprintf("%.15g, ", p.adjust(c(0.04, 0.01, 0.03, 0.005, 0.2, 0.9), "holm")), "\n")
cat(sprintf("%.15g, ", p.adjust(c(0.5, 0.022, 0.02), "holm")), "\n")
