# The numbers in test_rank.c (R 4.2.2).
options(digits = 15)
show <- function(x, y) {
  k <- suppressWarnings(cor.test(x, y, method = "kendall", exact = FALSE, continuity = TRUE))
  p <- combn(seq_along(x), 2)
  d <- x[p[2, ]] - x[p[1, ]]
  s <- sort(((y[p[2, ]] - y[p[1, ]]) / d)[d != 0])
  n <- length(x); t <- table(x); u <- table(y); f <- function(v) sum(v * (v - 1) * (2 * v + 5))
  S <- sum(sign(d) * sign(y[p[2, ]] - y[p[1, ]]))
  v <- (n * (n - 1) * (2 * n + 5) - f(t) - f(u)) / 18 + sum(t * (t - 1)) * sum(u * (u - 1)) / (2 * n * (n - 1)) +
    sum(t * (t - 1) * (t - 2)) * sum(u * (u - 1) * (u - 2)) / (9 * n * (n - 1) * (n - 2))
  r <- round((length(s) - qnorm(0.975) * sqrt(v)) / 2)
  cat(sprintf("%.15g, ", c(S, sqrt(v), k$p.value, k$estimate, median(s), if (r > 0) s[r] else -Inf,
                           if (r > 0) s[length(s) + 1 - r] else Inf, median(y - median(s) * x))), "\n")
}
show(c(1, 2, 4, 7, 10, 14, 21, 28), c(10.42, 10.31, 10.36, 9.96, 9.85, 9.90, 9.55, 9.49))
show(c(1, 1, 2, 2, 2, 7, 10, 10, 14, 21, 28, 28), c(10.4, 10.3, 10.3, 10.4, 9.9, 9.9, 9.9, 9.8, 9.8, 9.4, 9.5, 9.4))
show(c(0, 7, 14, 21), c(10.2, 10.0, 9.9, 9.6))
show(c(0, 7, 14, 21, 28), c(9.5, 9.7, 9.6, 9.4, 9.6))
i <- 0:1499
show(i %/% 3, ((i * 7919) %% 10007) %/% 100 / 50 - i / 2000)
show(i, ((i * 7919) %% 10007) %/% 100 / 50)
show(c(0, 7, 14, 21, 28), c(10.2, 10.0, 9.9, 9.6, 9.5))
show(c(1, 1, 1, 7, 7, 14, 21), c(10.4, 10.4, 10.3, 9.9, 9.9, 9.8, 9.9)) # the same point twice
# tests of a difference by ranks, without ties (exact) and long (normal with continuity correction)
d <- c(0.31, -0.12, 0.25, 0.08, -0.05, 0.4, 0.17); cat(sprintf("%.12g\n", wilcox.test(d)$p.value))
d <- c(0.31, 0.12, 0.25, 0.08); cat(sprintf("%.12g\n", wilcox.test(d)$p.value))
a <- c(9.5, 9.61, 9.42, 9.77); b <- c(9.8, 9.95, 9.63, 10.1, 9.9); cat(sprintf("%.12g\n", wilcox.test(a, b)$p.value))
i <- 0:59; long <- sin(i * 1.7) + 0.2; cat(sprintf("%.12g\n", wilcox.test(long, exact = FALSE, correct = TRUE)$p.value))
x <- round(sin(0:29), 1); y <- round(sin(0:24 * 1.3) + 0.4, 1)
cat(sprintf("%.12g\n", wilcox.test(x, y, exact = FALSE, correct = TRUE)$p.value))
