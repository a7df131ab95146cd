# curve.R - what a maker would do in R: one exponential approach a batch, by nls with its own start values.
# Usage: Rscript curve.R READINGS.csv OUT.csv
# Weights 1/u^2, as the program has them (docs/method.md). Start values by nls's self-starting SSasymp, which
# is R's own way to fit this curve: ph = Asym + (R0 - Asym) exp(-exp(lrc) age).
arguments <- commandArgs(trailingOnly = TRUE)
readings <- read.csv(arguments[1])
groups <- split(readings, readings$batch)
ends <- vapply(groups, function(group) {
    fit <- tryCatch(nls(ph_at_reference ~ SSasymp(age_d, end, start, log_rate), data = group,
                        weights = 1 / group$u_ph^2), error = function(e) NULL)
    if (is.null(fit)) NA_real_ else coef(fit)[["end"]]
}, numeric(1))
write.table(data.frame(batch = names(ends), end = format(ends, digits = 15)), arguments[2], sep = ",",
            quote = FALSE, row.names = FALSE)
