# Reference values of test_soap.c, made with R 4.2.2: Rscript soap.R
# pH of a 1 % solution (per kg of water) of a bar that reads `plain` without free lye, with c % NaOH free in it.
options(digits = 10)
soap <- 10 / 990 * 1000 / 300           # mol/kg at 300 g of bar a mole
pkw <- c("25" = 13.995, "40" = 13.534)  # IAPWS R11-24, reference/water_ion_product.csv
A <- c("25" = 0.5092, "40" = 0.5241)    # Debye-Hueckel, molal, reference/activity.csv
log_gamma <- function(I, a) -a * (sqrt(I) / (1 + sqrt(I)) - 0.3 * I)
ph_of <- function(x, t) pkw[[t]] + log10(x) + log_gamma(soap + x, A[[t]])
x_of <- function(ph, t) uniroot(function(x) ph_of(x, t) - ph, c(1e-8, 0.2), tol = 1e-15)$root
with_naoh <- function(plain, c, t) {
  x0 <- x_of(plain, t)
  b <- c / 100 * 10 / 39.997 / 0.99
  ph_of(uniroot(function(x) x - x0^2 / x - b, c(1e-9, 0.2), tol = 1e-15)$root, t)
}
for (row in list(c(9.5, 40), c(10, 40), c(10.6, 40), c(10, 25)))
  print(round(c(row, sapply(c(0.05, 0.1, 0.2, 0.5, 1, 2), function(c) with_naoh(row[1], c, as.character(row[2])))), 4))
print(round(sapply(c(9, 9.5, 9.62, 10, 10.6), function(ph) with_naoh(ph, 0.1, "40") - ph), 4)) # rise by 0.1 %
