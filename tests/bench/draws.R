# draws.R - the Monte Carlo of "recipe", vectorised: a million recipes of two fats and one lye, each mass and
# each figure even within its range. Usage: Rscript draws.R DRAWS
draws <- as.integer(commandArgs(trailingOnly = TRUE)[1])
set.seed(1)
even <- function(low, high) runif(draws, low, high)
needed <- (even(499.29, 500.71) * even(184, 196) + even(249.29, 250.71) * even(248, 265)) * 39.997 / 56.1056 / 1000
given <- even(103.79, 105.21) * even(0.98, 0.99)
superfat <- 100 * (1 - given / needed)
cat(mean(superfat), sd(superfat), quantile(superfat, c(0.025, 0.975)), mean(superfat < 0), "\n")
