/* test_file.c - whole files, written whole or not at all, and what must not be replaced. */
#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check.h"
#include "file.h"
#include "folder.h"
#include "interrupt.h"
#include "text.h"

static void
a_file_is_written_whole_and_read_back(void **state)
{
    const struct folder *folder = *state;
    char *path = file_join(folder->path, "note.txt"), *text = NULL;
    struct failure failure = {0};

    check_ok(file_write(path, "first", 5, &failure), &failure);
    check_ok(file_write(path, "second", 6, &failure), &failure);
    check_ok(file_read(path, 6, &text, &failure), &failure);
    assert_string_equal(text, "second");
    free(text);
    text = NULL;
    check_refused(file_read(path, 5, &text, &failure), STATUS_FORMAT, &failure);
    assert_null(text);
    free(path);
}

static void
a_link_is_followed_and_a_device_or_pipe_is_never_replaced(void **state)
{
    const struct folder *folder = *state;
    char *real = file_join(folder->path, "real.txt"), *link = file_join(folder->path, "link.txt");
    char *pipe = file_join(folder->path, "pipe"), *text = NULL, got[8] = "";
    struct failure failure = {0};
    struct stat about;
    int reader;

    check_ok(file_write(real, "old", 3, &failure), &failure);
    assert_int_equal(symlink(real, link), 0);
    check_ok(file_write(link, "new", 3, &failure), &failure);
    assert_int_equal(lstat(link, &about), 0);
    assert_true(S_ISLNK(about.st_mode));
    check_ok(file_read(real, 10, &text, &failure), &failure);
    assert_string_equal(text, "new");
    free(text);

    assert_int_equal(mkfifo(pipe, 0600), 0);
    reader = open(pipe, O_RDONLY | O_NONBLOCK);
    check_ok(file_write(pipe, "words", 5, &failure), &failure);
    assert_int_equal(read(reader, got, sizeof got), 5);
    assert_string_equal(got, "words");
    close(reader);
    assert_int_equal(stat(pipe, &about), 0);
    assert_true(S_ISFIFO(about.st_mode));

    check_refused(file_write("/dev/full", "words", 5, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "No space left");
    assert_int_equal(stat("/dev/full", &about), 0);
    assert_true(S_ISCHR(about.st_mode));
    free(real);
    free(link);
    free(pipe);
}

static void
what_fails_leaves_the_old_file(void **state)
{
    const struct folder *folder = *state;
    char *path = file_join(folder->path, "kept.txt"), *text = NULL;
    struct file_draft draft = {0};
    struct failure failure = {0};

    check_ok(file_write(path, "kept", 4, &failure), &failure);
    check_ok(file_draft_begin(path, &draft, &failure), &failure);
    fputs("half", draft.stream);
    assert_int_equal(file_draft_end(&draft, STATUS_RANGE, &failure), STATUS_RANGE);
    check_ok(file_read(path, 10, &text, &failure), &failure);
    assert_string_equal(text, "kept");
    free(text);
    free(path);
    path = file_join(folder->path, "no/such/folder.txt");
    check_refused(file_write(path, "x", 1, &failure), STATUS_SYSTEM, &failure);
    free(path);
}

static void
put(const char *folder, const char *name, const char *text)
{
    char *path = file_join(folder, name);
    struct failure failure = {0};

    check_ok(file_write(path, text, strlen(text), &failure), &failure);
    free(path);
}

static void
check_holds(const char *folder, const char *name, const char *expected)
{
    char *path = file_join(folder, name), *text = NULL;
    struct failure failure = {0};

    check_ok(file_read(path, 100, &text, &failure), &failure);
    assert_string_equal(text, expected);
    free(text);
    free(path);
}

static size_t
entries(const char *folder)
{
    DIR *open = opendir(folder);
    size_t count = 0;

    assert_non_null(open);
    for (const struct dirent *entry; (entry = readdir(open)) != NULL;)
        count += entry->d_name[0] == '.' ? 0 : 1;
    closedir(open);
    return count;
}

static void
a_folder_is_exchanged_as_a_whole_or_not_at_all(void **state)
{
    const struct folder *folder = *state;
    char *path = file_join(folder->path, "deep/out"), *typed = text_format("%s//", path);
    char *above = file_join(folder->path, "deep");
    struct file_folder_draft draft = {0};
    struct failure failure = {0};

    check_ok(file_folder_draft_begin(typed, &draft, &failure), &failure);
    put(draft.beside, "a.csv", "1");
    check_ok(file_folder_draft_end(&draft, STATUS_OK, &failure), &failure);
    check_holds(path, "a.csv", "1");
    put(path, "notes.txt", "mine");

    check_ok(file_folder_draft_begin(path, &draft, &failure), &failure);
    put(draft.beside, "a.csv", "2");
    assert_int_equal(file_folder_draft_end(&draft, STATUS_SYSTEM, &failure), STATUS_SYSTEM);
    check_holds(path, "a.csv", "1");
    assert_int_equal(entries(above), 1);

    check_ok(file_folder_draft_begin(path, &draft, &failure), &failure);
    put(draft.beside, "a.csv", "2");
    put(draft.beside, "b.csv", "3");
    check_holds(path, "a.csv", "1");
    check_ok(file_folder_draft_end(&draft, STATUS_OK, &failure), &failure);
    check_holds(path, "a.csv", "2");
    check_holds(path, "b.csv", "3");
    check_holds(path, "notes.txt", "mine");
    assert_int_equal(entries(above), 1);

    assert_int_equal(chdir(path), 0);
    check_refused(file_folder_draft_begin(".", &draft, &failure), STATUS_CONFLICT, &failure);
    assert_int_equal(chdir("/"), 0);
    check_contains(failure.text, "is the folder you are in");
    put(above, "file", "x");
    free(typed);
    typed = file_join(above, "file");
    check_refused(file_folder_draft_begin(typed, &draft, &failure), STATUS_CONFLICT, &failure);
    check_contains(failure.text, "is no folder");
    free(path);
    free(typed);
    free(above);
}

#define FILE_TEST(name) cmocka_unit_test_setup_teardown(name, folder_make, folder_remove)

/* Files in a folder, "." and ".." left out. */
static size_t
count_files(const char *path)
{
    DIR *folder = opendir(path);
    size_t count = 0;

    assert_non_null(folder);
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;)
        count += entry->d_name[0] == '.' ? 0 : 1;
    closedir(folder);
    return count;
}

/* In a child: half a file, then the end. */
static void
be_killed_at_a_file(const char *path)
{
    struct file_draft draft = {0};
    struct failure failure = {0};

    if (file_draft_begin(path, &draft, &failure) != STATUS_OK)
        _exit(2);
    fputs("half", draft.stream);
    fflush(draft.stream);
    raise(SIGKILL);
}

static void
be_ended_at_a_folder(const char *path)
{
    struct file_folder_draft draft = {0};
    struct failure failure = {0};

    if (file_folder_draft_begin(path, &draft, &failure) != STATUS_OK)
        _exit(2);
    put(draft.beside, "data.csv", "of the notebook");
    raise(SIGTERM); /* waits */
    if (!interrupt_waits())
        _exit(3);
    file_folder_draft_end(&draft, STATUS_SYSTEM, &failure);
    _exit(4);
}

static void
what_is_interrupted_leaves_nothing_behind(void **state)
{
    const struct folder *folder = *state;
    static const struct {
        void (*work)(const char *path);
        int signal;
    } works[] = {{be_killed_at_a_file, SIGKILL}, {be_ended_at_a_folder, SIGTERM}};
    int nameless = open(folder->path, O_TMPFILE | O_WRONLY, 0600);

    for (size_t i = nameless < 0 ? 1U : 0U; i < LENGTH(works);
         i++) { /* not every file system has nameless files */
        char *path = file_join(folder->path, "output");
        pid_t child = fork();
        int how = 0;

        assert_true(child >= 0);
        if (child == 0)
            works[i].work(path);
        assert_int_equal(waitpid(child, &how, 0), child);
        assert_true(WIFSIGNALED(how) && WTERMSIG(how) == works[i].signal);
        assert_int_equal(count_files(folder->path), 0);
        free(path);
    }
    if (nameless >= 0)
        close(nameless);
}

static void
no_output_replaces_a_database(void **state)
{
    const struct folder *folder = *state;
    static const char *const own[] = {"n-journal", "n-wal", "n-shm", "no-such-file-journal"};
    char *database = file_join(folder->path, "n.html"), *link = file_join(folder->path, "l.html");
    struct failure failure = {0};
    FILE *file = fopen(database, "wb");

    assert_non_null(file);
    fwrite("SQLite format 3\0 and more", 1, 25, file);
    fclose(file);
    assert_int_equal(symlink(database, link), 0);
    check_refused(file_write(database, "x", 1, &failure), STATUS_CONFLICT, &failure);
    check_contains(failure.text, "is a notebook or another database");
    check_refused(file_write(link, "x", 1, &failure), STATUS_CONFLICT, &failure);
    unlink(link);
    assert_int_equal(linkat(AT_FDCWD, database, AT_FDCWD, link, 0), 0);
    check_refused(file_write(link, "x", 1, &failure), STATUS_CONFLICT, &failure);
    for (size_t i = 0; i < LENGTH(own); i++) {
        char *path = file_join(folder->path, own[i]);

        check_refused(file_write(path, "x", 1, &failure), STATUS_CONFLICT, &failure);
        check_contains(failure.text, "SQLite takes for its own");
        free(path);
    }
    free(link);
    free(database);
}

static const struct CMUnitTest tests[] = {
    FILE_TEST(a_file_is_written_whole_and_read_back),
    FILE_TEST(a_link_is_followed_and_a_device_or_pipe_is_never_replaced),
    FILE_TEST(what_fails_leaves_the_old_file),
    FILE_TEST(a_folder_is_exchanged_as_a_whole_or_not_at_all),
    FILE_TEST(what_is_interrupted_leaves_nothing_behind),
    FILE_TEST(no_output_replaces_a_database),
};

const struct check_module test_base_file = CHECK_MODULE("base/file", tests);
