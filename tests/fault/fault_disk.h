/* fault_disk.h - a disk that fails when told to: an SQLite VFS around the usual one.
 *
 * Rules
 * (1) Every read, write, sync and so on is counted. The n-th of a kind fails, once (read, write, sync) or
 *     with all that follow it (a full disk, a power cut).
 * (2) What was written and not synced is remembered. After a power cut it is taken back from the files:
 *     all of it, or some of it by chance, sector by sector, as a real disk may have kept it.
 * (3) A sync does not wait for the real disk. */
#ifndef FAULT_DISK_H
#define FAULT_DISK_H

#include <stdbool.h>

enum fault { FAULT_NONE, FAULT_READ, FAULT_WRITE, FAULT_SYNC, FAULT_FULL, FAULT_POWER, FAULT_KINDS };

const char *fault_name(enum fault fault);

/* Take the place of the usual VFS for everything opened from now on, and give it back. */
void fault_disk_install(void);
void fault_disk_remove(void);

/* Count from 1 again and fail at the n-th operation of that kind; forgets what was not synced. */
void fault_disk_arm(enum fault fault, long n);

/* Operations of the armed kind so far, and whether the fault happened. */
long fault_disk_count(void);
bool fault_disk_happened(void);

/* After a power cut, when every file is closed: take back what was not synced. `chance` 0 takes all of it,
 * another number some of it. Then the disk works again. */
void fault_disk_restart(unsigned chance);

#endif
