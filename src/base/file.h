/* file.h - whole files, private folders, and the files that come with the program.
 *
 * Rules
 * (1) Whatever is written here as a whole replaces no database, by whatever path or link it is named, and takes no
 *     name that SQLite keeps for files of its own beside one. So no output can end a notebook.
 * (2) What is half-written has no name where the file system can do that, so that nothing is left when the program is
 *     killed. */
#ifndef FILE_H
#define FILE_H

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "status.h"

/* A whole file as a text that ends in NUL. `largest` is the size in bytes above which it is refused.
 * Given: free() it. STATUS_MISSING when it cannot be opened, STATUS_FORMAT when too large or with NUL
 * bytes inside, STATUS_SYSTEM when reading fails. */
enum status file_read(const char *path, size_t largest, char **ret_text, struct failure *failure);

/* Write a file whole or not at all: a new file beside it is written, synced and renamed. A link is followed;
 * what is no plain file (a device, a pipe) is written in place and never replaced.
 * STATUS_CONFLICT for rule 1, STATUS_SYSTEM with the reason; the old file, if any, is then untouched. */
enum status file_write(const char *path, const void *bytes, size_t length, struct failure *failure);

/* The same, written piece by piece through `stream`. */
struct file_draft {
    FILE *stream;        /* lent until file_draft_end() */
    char *path, *beside; /* owned; beside is NULL for what is written in place */
    bool nameless;       /* it has no name yet, and is gone when the program is killed */
};
enum status file_draft_begin(const char *path, struct file_draft *ret_draft, struct failure *failure);

/* STATUS_CONFLICT for a name that SQLite takes for its own (rule 1); links are followed. */
enum status file_check_name(const char *path, struct failure *failure);

/* Put the file in its place when `status` is STATUS_OK, else remove it; gives `status`, or STATUS_SYSTEM when
 * something could not be written. A zeroed draft is passed over. */
enum status file_draft_end(struct file_draft *draft, enum status status, struct failure *failure);

/* Give a file that was written beside it the name `path`, and have the name on disk too. `overwrite` false: what has
 * come there meanwhile stays.
 * STATUS_CONFLICT when something is there, STATUS_SYSTEM when it cannot be done; the file beside is then still there. */
enum status file_give_name(const char *beside, const char *path, bool overwrite, struct failure *failure);

/* A folder exchanged as a whole: its new files are written into `beside`, a new folder next to it. */
struct file_folder_draft {
    char *path, *beside; /* owned */
    sigset_t signals;    /* signals wait meanwhile, so that none leaves it behind (interrupt.h) */
};

/* STATUS_SYSTEM when nothing can be written there; STATUS_CONFLICT when `path` is no folder, holds a database, or is the one
 * the program was started in, which cannot be exchanged under the person who is in it. */
enum status file_folder_draft_begin(const char *path, struct file_folder_draft *ret_draft,
                                    struct failure *failure);

/* When `status` is STATUS_OK the new folder takes the place of the old one at once; what the old one had under other
 * names moves over. Else it is removed. The files in it were synced by whoever wrote them (file_draft_end()). Gives
 * `status`, or STATUS_SYSTEM when it cannot be put in place; the old folder is then untouched. A zeroed draft is passed
 * over. */
enum status file_folder_draft_end(struct file_folder_draft *draft, enum status status,
                                  struct failure *failure);

/* Make a folder and those above it, open to the owner alone (0700). What exists stays as it is. */
enum status file_make_folder(const char *path, struct failure *failure);

/* "folder/name"; given: free() it. */
char *file_join(const char *folder, const char *name);

/* The folder that a path lies in ("." when it names none); given: free() it. */
char *file_folder(const char *path);

bool file_exists(const char *path);

/* A folder that came with the program ("procedures", "samples"): beside the program in a build tree,
 * or in ../share/curetrace of the installed one. Given: free() it; NULL when there is none. */
char *file_shipped(const char *name);

/* $variable/curetrace/name, or $HOME/fallback/curetrace/name when the variable is not set or not an
 * absolute path (XDG base directory specification 0.8). Given: free() it; NULL without a home. */
char *file_personal(const char *variable, const char *fallback, const char *name);

#endif
