# The numbers in test_paper_bias.c (R 4.2.2, survival). Meter and paper readings are invented.
library(survival)
meter <- c(9.42, 9.87, 10.15, 9.61, 10.48, 9.93, 9.75, 10.92)
low <- c(8, 9, 9, 8, 10, 8, 9, 10) # paper, steps of one
m <- survreg(Surv(meter - (low + 1), meter - low, type = "interval2") ~ 1, dist = "gaussian",
             control = survreg.control(rel.tolerance = 1e-14, maxiter = 200))
cat(sprintf("%.12g ", c(coef(m), sqrt(vcov(m)[1, 1]), m$scale)), "\n")
