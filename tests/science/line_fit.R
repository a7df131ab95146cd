# The numbers in test_line_fit.c that name R (4.2.2).
options(digits = 15)
x <- c(4.01, 6.86, 9.18, 10.01, 12.45)
y <- c(172.1, 8.9, -124.0, -171.5, -308.9)
s <- c(0.6, 0.4, 0.5, 0.5, 1.5)
m <- lm(y ~ x, weights = 1 / s^2)
show <- function(v, sigma) {
  cat(sprintf("%.15g %.15g %.15g %.15g %.15g %.15g\n", coef(m)[1], coef(m)[2], sqrt(v[1, 1]), sqrt(v[2, 2]), v[1, 2],
              cov2cor(v)[1, 2]))
}
show(vcov(m)); cat(sigma(m), "\n")
show(vcov(m) / sigma(m)^2)
p <- predict(m, data.frame(x = 11), se.fit = TRUE); cat(p$fit, p$se.fit, p$se.fit / sigma(m), "\n")
# read back: the y = -230 with sd 0.5, by the delta rule on the stated scale
v <- vcov(m) / sigma(m)^2
b <- coef(m); x0 <- (-230 - b[1]) / b[2]
g <- c(-1 / b[2], -x0 / b[2])
cat(x0, sqrt(t(g) %*% v %*% g + (0.5 / b[2])^2), "\n")
