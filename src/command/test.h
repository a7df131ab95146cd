/* test.h - beginning a walk-through, for the commands that have one of their own. */
#ifndef TEST_H
#define TEST_H

#include "command.h"

/* Begin and walk a procedure with the batches and the gear that the options name (test.c, rules 1 to 3).
 *
 * portions  how many of each bar, 1 or more
 *
 * STATUS as shelf_read(), bench_begin() and walk_prompt(). */
enum status test_walk_procedure(struct context *context, const struct options *options, const char *procedure,
                                size_t portions, struct failure *failure);

#endif
