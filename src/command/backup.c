/* backup.c - "backup": a verified copy of the notebook. */
#include <stdlib.h>

#include "backup.h"
#include "commands.h"
#include "journal.h"
#include "seal.h"
#include "text.h"

static const struct option_spec options_known[] = {
    {.name = "force", .kind = OPTION_FLAG, .help = "replace a file that is there already"},
    {.name = NULL},
};

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    const char *path = options_name(options, 0);
    char head[JOURNAL_HASH_SIZE];
    enum status status =
        backup_write(context->store, path, options_has(options, "force"), true, head, failure);

    if (status == STATUS_OK) {
        char *visible = text_visible(path), seal[SEAL_TEXT_SIZE];

        fprintf(context->out,
                "copied and verified: %s\nseal   %s\nnext: keep it on another disk, and the seal on paper\n",
                visible, seal_text(head, seal));
        free(visible);
    }
    return status;
}

const struct command backup_command = {
    .name = "backup",
    .names = "FILE",
    .fewest = 1,
    .most = 1,
    .summary = "copy the notebook to another file and verify the copy",
    .example = "curetrace backup /media/stick/notebook-2026-06.sqlite",
    .options = options_known,
    .needs = COMMAND_READS_STORE,
    .run = run,
};
