# The numbers in test_meter_check.c that name R (4.2.2).
options(digits = 12)
x <- c(6.865, 9.180, 12.454)
y <- c(6.88, 9.16, 12.45)
ub <- c(0.01, 0.02, 0.02)
s <- sqrt(ub^2 + 0.01^2 / 12)
m <- lm(y ~ x, weights = 1 / s^2)
b <- coef(m)
v <- vcov(m) / sigma(m)^2 # on the stated scale
cat("slope %", 100 * b[2], "residuals", resid(m), "ratio", sigma(m), "\n")
cat("offset mV", 8.314462618 * 298.15 * log(10) / 96485.33212 * 1000 * (7 - (b[1] + 7 * b[2])), "\n")
x0 <- (10.90 - b[1]) / b[2]
g <- c(-1 / b[2], -x0 / b[2])
cat("x0", x0, "u", sqrt(t(g) %*% v %*% g), "\n")
# the buffers' part: each buffer moved by its own standard uncertainty, one at a time
part <- sapply(1:3, function(i) {
  moved <- y; moved[i] <- moved[i] + 1e-6
  coef2 <- coef(lm(moved ~ x, weights = 1 / s^2))
  ((10.90 - coef2[1]) / coef2[2] - x0) / 1e-6 * ub[i]
})
cat("buffers", sqrt(sum(part^2)), "\n")
# three buffers against the outer two, at the same reading: pooled with 8 degrees of freedom (GUM G.4.2)
cat("widening", sqrt((8 + sigma(m)^2) / 9), "\n")
outer <- c(1, 3)
two <- lm(y[outer] ~ x[outer], weights = 1 / s[outer]^2); b2 <- coef(two)
X <- cbind(1, x[outer]); v2 <- solve(t(X) %*% diag(1 / s[outer]^2) %*% X)
x2 <- (10.90 - b2[1]) / b2[2]; g2 <- c(-1 / b2[2], -x2 / b2[2])
cat("u with two", sqrt(t(g2) %*% v2 %*% g2), "\n")
