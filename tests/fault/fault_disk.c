/* fault_disk.c - a disk that fails when told to. */
#include "fault_disk.h"

#include <fcntl.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "file.h"
#include "memory.h"

enum { SECTOR = 512 };

/* What one write or truncation replaced. */
struct undo {
    sqlite3_int64 offset, size_before;
    size_t length; /* of `old` */
    unsigned char *old;
};

/* A file by its path, and what of it would not survive. */
struct tracked {
    char *path;
    bool created; /* made, and not synced yet: a power cut removes it */
    struct undo *undo;
    size_t undo_count, undo_capacity;
    struct tracked *next;
};

struct fault_file {
    sqlite3_file base;
    struct tracked *tracked; /* NULL: a temporary file */
    sqlite3_file *real;      /* behind this struct */
};

static struct {
    sqlite3_vfs vfs, *real;
    struct tracked *files;
    enum fault fault;
    long n, count;
    bool happened;
} disk;

const char *
fault_name(enum fault fault)
{
    static const char *const names[] = {"none", "read", "write", "sync", "full disk", "power cut"};

    return names[fault];
}

static sqlite3_file *
real_of(sqlite3_file *file)
{
    return ((struct fault_file *)file)->real;
}

/* Does this operation, one of those that `armed` counts, fail? */
static bool
fails(enum fault operation)
{
    bool counted = disk.fault == operation || (disk.fault == FAULT_FULL && operation == FAULT_WRITE) ||
                   (disk.fault == FAULT_POWER && operation != FAULT_READ);

    if (disk.happened)
        return disk.fault == FAULT_POWER || (disk.fault == FAULT_FULL && operation == FAULT_WRITE);
    if (!counted || disk.fault == FAULT_NONE || ++disk.count != disk.n)
        return false;
    disk.happened = true;
    return true;
}

static struct tracked *
track(const char *path)
{
    struct tracked *tracked = disk.files;

    while (tracked != NULL && strcmp(tracked->path, path) != 0)
        tracked = tracked->next;
    if (tracked == NULL) {
        tracked = memory_new(1, sizeof *tracked);
        tracked->path = memory_copy(path);
        tracked->next = disk.files;
        disk.files = tracked;
    }
    return tracked;
}

static void
forget_undo(struct tracked *tracked)
{
    for (size_t i = 0; i < tracked->undo_count; i++)
        free(tracked->undo[i].old);
    tracked->undo_count = 0;
}

static void
forget_all(void)
{
    while (disk.files != NULL) {
        struct tracked *next = disk.files->next;

        forget_undo(disk.files);
        free(disk.files->undo);
        free(disk.files->path);
        free(disk.files);
        disk.files = next;
    }
}

/* Remember what is at a place that is about to change. */
static void
remember(struct fault_file *file, sqlite3_int64 offset, sqlite3_int64 length)
{
    struct undo undo = {.offset = offset};
    struct tracked *tracked = file->tracked;

    if (tracked == NULL)
        return;
    file->real->pMethods->xFileSize(file->real, &undo.size_before);
    if (offset < undo.size_before) {
        undo.length = (size_t)(offset + length < undo.size_before ? length : undo.size_before - offset);
        undo.old = memory_new(undo.length, 1);
        file->real->pMethods->xRead(file->real, undo.old, (int)undo.length, offset);
    }
    tracked->undo = memory_room(tracked->undo, tracked->undo_count, &tracked->undo_capacity, sizeof undo);
    tracked->undo[tracked->undo_count++] = undo;
}

/* --- one file ---------------------------------------------------------------------------------------- */

static int
file_close(sqlite3_file *file)
{
    return real_of(file)->pMethods->xClose(real_of(file));
}

static int
file_read_bytes(sqlite3_file *file, void *bytes, int length, sqlite3_int64 offset)
{
    if (fails(FAULT_READ))
        return SQLITE_IOERR_READ;
    return real_of(file)->pMethods->xRead(real_of(file), bytes, length, offset);
}

static int
file_write_bytes(sqlite3_file *file, const void *bytes, int length, sqlite3_int64 offset)
{
    struct fault_file *own = (struct fault_file *)file;

    if (fails(FAULT_WRITE)) {
        if (disk.fault == FAULT_POWER && own->tracked != NULL) { /* cut in the middle of it */
            remember(own, offset, length);
            own->real->pMethods->xWrite(own->real, bytes, length / 2, offset);
        }
        return disk.fault == FAULT_FULL ? SQLITE_FULL : SQLITE_IOERR_WRITE;
    }
    remember(own, offset, length);
    return own->real->pMethods->xWrite(own->real, bytes, length, offset);
}

static int
file_truncate(sqlite3_file *file, sqlite3_int64 size)
{
    struct fault_file *own = (struct fault_file *)file;
    sqlite3_int64 now = 0;

    if (fails(FAULT_WRITE))
        return SQLITE_IOERR_TRUNCATE;
    own->real->pMethods->xFileSize(own->real, &now);
    remember(own, size, now > size ? now - size : 0);
    return own->real->pMethods->xTruncate(own->real, size);
}

static int
file_sync(sqlite3_file *file, int flags)
{
    struct fault_file *own = (struct fault_file *)file;

    (void)flags;
    if (fails(FAULT_SYNC))
        return SQLITE_IOERR_FSYNC;
    if (own->tracked != NULL) {
        forget_undo(own->tracked);
        own->tracked->created = false; /* SQLite syncs the folder of a new journal along with it */
    }
    return SQLITE_OK;
}

static int
file_size(sqlite3_file *file, sqlite3_int64 *size)
{
    return real_of(file)->pMethods->xFileSize(real_of(file), size);
}

static int
file_lock(sqlite3_file *file, int lock)
{
    return real_of(file)->pMethods->xLock(real_of(file), lock);
}

static int
file_unlock(sqlite3_file *file, int lock)
{
    return real_of(file)->pMethods->xUnlock(real_of(file), lock);
}

static int
file_check_lock(sqlite3_file *file, int *locked)
{
    return real_of(file)->pMethods->xCheckReservedLock(real_of(file), locked);
}

static int
file_control(sqlite3_file *file, int operation, void *argument)
{
    return real_of(file)->pMethods->xFileControl(real_of(file), operation, argument);
}

static int
file_sector(sqlite3_file *file)
{
    (void)file;
    return SECTOR;
}

static int
file_traits(sqlite3_file *file)
{
    return real_of(file)->pMethods->xDeviceCharacteristics(real_of(file));
}

static const sqlite3_io_methods methods = {.iVersion = 1, /* no memory map: it would go around this */
                                           .xClose = file_close,
                                           .xRead = file_read_bytes,
                                           .xWrite = file_write_bytes,
                                           .xTruncate = file_truncate,
                                           .xSync = file_sync,
                                           .xFileSize = file_size,
                                           .xLock = file_lock,
                                           .xUnlock = file_unlock,
                                           .xCheckReservedLock = file_check_lock,
                                           .xFileControl = file_control,
                                           .xSectorSize = file_sector,
                                           .xDeviceCharacteristics = file_traits};

/* --- the whole --------------------------------------------------------------------------------------- */

static int
disk_open(sqlite3_vfs *vfs, const char *path, sqlite3_file *file, int flags, int *ret_flags)
{
    struct fault_file *own = (struct fault_file *)file;
    bool is_new = path != NULL && (flags & SQLITE_OPEN_CREATE) != 0 && !file_exists(path);
    int code;

    (void)vfs;
    *own = (struct fault_file){.real = (sqlite3_file *)(own + 1)};
    if (is_new && fails(FAULT_WRITE))
        return SQLITE_CANTOPEN;
    code = disk.real->xOpen(disk.real, path, own->real, flags, ret_flags);
    if (code != SQLITE_OK)
        return code;
    own->base.pMethods = &methods;
    if (path != NULL) {
        own->tracked = track(path);
        own->tracked->created = own->tracked->created || is_new;
    }
    return SQLITE_OK;
}

static int
disk_delete(sqlite3_vfs *vfs, const char *path, int sync_folder)
{
    struct tracked *tracked = track(path);
    int code;

    (void)vfs;
    if (fails(FAULT_WRITE))
        return SQLITE_IOERR_DELETE;
    code = disk.real->xDelete(disk.real, path, sync_folder);
    if (code == SQLITE_OK)
        forget_undo(tracked);
    return code;
}

void
fault_disk_install(void)
{
    disk.real = sqlite3_vfs_find("unix");
    disk.vfs = *disk.real;
    disk.vfs.zName = "fault";
    disk.vfs.szOsFile = (int)sizeof(struct fault_file) + disk.real->szOsFile;
    disk.vfs.xOpen = disk_open;
    disk.vfs.xDelete = disk_delete;
    sqlite3_vfs_register(&disk.vfs, 1);
}

void
fault_disk_remove(void)
{
    forget_all();
    sqlite3_vfs_unregister(&disk.vfs);
}

void
fault_disk_arm(enum fault fault, long n)
{
    forget_all();
    disk.fault = fault;
    disk.n = n;
    disk.count = 0;
    disk.happened = false;
}

long
fault_disk_count(void)
{
    return disk.count;
}

bool
fault_disk_happened(void)
{
    return disk.happened;
}

static unsigned
next_chance(unsigned *chance)
{
    *chance = *chance * 1664525u + 1013904223u; /* Numerical Recipes' quick generator: any will do */
    return *chance >> 16;
}

/* Take back one write: all of it, none of it, or its later sectors. */
static void
take_back(int descriptor, const struct undo *undo, unsigned *chance)
{
    unsigned how = *chance == 0 ? 0 : next_chance(chance) % 3;
    size_t kept = 0;

    if (how == 1)
        return;
    if (how == 2 && undo->length > SECTOR)
        kept = (size_t)(next_chance(chance) % (undo->length / SECTOR)) * SECTOR;
    if (undo->length > kept &&
        pwrite(descriptor, undo->old + kept, undo->length - kept, undo->offset + (off_t)kept) < 0)
        abort();
    if (how == 0 && ftruncate(descriptor, undo->size_before) != 0)
        abort();
}

void
fault_disk_restart(unsigned chance)
{
    for (struct tracked *tracked = disk.files; tracked != NULL; tracked = tracked->next) {
        int descriptor = open(tracked->path, O_RDWR | O_CLOEXEC);

        for (size_t i = tracked->undo_count; descriptor >= 0 && i > 0; i--)
            take_back(descriptor, &tracked->undo[i - 1], &chance);
        if (descriptor >= 0)
            close(descriptor);
        if (tracked->created && (chance == 0 || next_chance(&chance) % 2 == 0))
            unlink(tracked->path);
    }
    fault_disk_arm(FAULT_NONE, 0);
}
