# Reference values of test_titration_model.c, made with R 4.2.2: Rscript titration_model.R
options(digits = 10)
mass <- c(10.02, 9.98, 10.05); volume <- c(1.30, 1.25, 1.35)
blank <- 0.05; acid <- 0.1; n <- 3
pct <- 3.9997 * (volume - blank) * acid / mass
per_ml <- mean(3.9997 * acid / mass)
u <- c(scatter = sd(pct) / sqrt(n), burette = 0.03 / sqrt(3) * per_ml, blank = 0.02 / sqrt(3) * per_ml,
       balance = 0.01 / sqrt(6) * sqrt(sum((pct / mass)^2)) / n, acid = 0.002 * mean(pct))
uc <- sqrt(sum(u^2))
dof <- uc^4 / (u[["scatter"]]^4 / (n - 1)) # Welch-Satterthwaite; the others have infinite degrees of freedom
print(c(mean = mean(pct), sd = sd(pct), u, uc = uc, dof = dof, k = qt(0.975, dof),
        upper = mean(pct) + qt(0.95, dof) * uc))
# The same with an earlier scatter of 0.003 % and 8 degrees of freedom.
u[["scatter"]] <- 0.003 / sqrt(n)
uc <- sqrt(sum(u^2)); dof <- uc^4 / (u[["scatter"]]^4 / 8)
print(c(uc = uc, dof = dof, upper = mean(pct) + qt(0.95, dof) * uc))
