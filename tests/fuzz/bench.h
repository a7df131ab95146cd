/* bench.h - a kitchen for fuzz targets that drive whole commands: one notebook with something of everything in it, put
 * back before every input. */
#ifndef BENCH_H
#define BENCH_H

#include "every_command.h"
#include "kitchen.h"

/* The kitchen, furnished at the first call; its notebook is made anew at each. Nothing is drawn. */
struct kitchen *bench_anew(void);

/* Run a line; what it says must be harmless. */
enum status bench_run(struct kitchen *kitchen, const struct every_line *line);

#endif
