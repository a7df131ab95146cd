/* bulk_writer.h - blocks of an import's rows go into the notebook while the next are made ready. For the store
 * room alone.
 *
 * Rules
 * (1) Blocks are written in the order in which they are handed over, by a second thread once there is a full one.
 *     From bulk_writer_next() until bulk_writer_settle() the store is the writer's: nobody else may use it.
 * (2) After the first failure nothing is written any more; the failure comes back from whatever is called next.
 *     It is STATUS_SYSTEM always: no single row of the file is to blame. */
#ifndef BULK_WRITER_H
#define BULK_WRITER_H

#include "bulk_block.h"
#include "store.h"

struct bulk_writer;

/* Inside a transaction of `store`, which is lent until bulk_writer_close(). */
enum status bulk_writer_open(struct store *store, struct bulk_writer **ret_writer, struct failure *failure);

/* The block to be filled; lent until the next call below. */
struct bulk_block *bulk_writer_block(struct bulk_writer *writer);

/* Hand the block over, to be written some time before bulk_writer_settle(); another is to be filled then. */
enum status bulk_writer_next(struct bulk_writer *writer, struct failure *failure);

/* Wait until all that was handed over is written. */
enum status bulk_writer_settle(struct bulk_writer *writer, struct failure *failure);

/* Write everything, the block being filled too. */
enum status bulk_writer_finish(struct bulk_writer *writer, struct failure *failure);

/* What is not written yet is forgotten. NULL is allowed. */
void bulk_writer_close(struct bulk_writer *writer);

#endif
