# Reference values of test_titration_model.c, made with R 4.2.2: Rscript titration_model.R
options(digits = 10)
mass <- c(10.02, 9.98, 10.05); volume <- c(1.30, 1.25, 1.35)
blank <- 0.05; acid <- 0.1; n <- 3
pct <- 3.9997 * (volume - blank) * acid / mass
k <- mean(3.9997 * acid / mass)
interval <- function(nu0, s0) {
  h <- c(scatter = qt(0.975, nu0 + n - 1) * sqrt((nu0 * s0^2 + (n - 1) * var(pct)) / ((nu0 + n - 1) * n)),
         burette = k * min(0.03 + 0.02, 1.96 * sqrt((0.03^2 + 0.02^2) / 3)), # blank included
         balance = 1.96 * mean(pct) * 0.01 / sqrt(6) * sqrt(sum(1 / mass^2)) / n,
         acid = 1.96 * 0.002 * mean(pct))
  c(h, half = sqrt(sum(h^2)), high = mean(pct) + sqrt(sum(h^2)))
}
print(c(mean = mean(pct), sd = sd(pct)))
print(interval(3, 0.0075)) # nothing known of the maker
print(interval(8, 0.003))  # the maker's own
