# The numbers in test_distribution.c, R 4.2.2: print with enough digits.
options(digits = 15)
for (d in c(0.5, 1, 2, 3.3, 12.8, 31, 100, 1e4, 1e6)) for (t in c(0.1, 2, 12))
  cat(sprintf("    {%.15g, %.15g, %.15g},\n", t, d, pt(t, d, lower.tail = FALSE)))
for (d in c(1, 2.5, 7, 40, 1e5)) for (p in c(0.001, 0.4, 0.975))
  cat(sprintf("    {%.15g, %.15g, %.15g},\n", p, d, qt(p, d)))
