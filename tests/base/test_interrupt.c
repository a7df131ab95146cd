/* test_interrupt.c - Ctrl-C is let in only while a person is waited for. */
#include "interrupt.h"

#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check.h"

static void
it_waits_until_it_is_listened_for(void **state)
{
    (void)state;
    interrupt_catch();
    raise(SIGINT);
    assert_false(interrupt_came()); /* rule 1: as in the middle of a write */
    interrupt_listen(true);
    assert_true(interrupt_came());
    interrupt_listen(false);
    interrupt_release();
    assert_true(interrupt_came()); /* for main.c */
    interrupt_catch();
    assert_false(interrupt_came());
    raise(SIGINT);
    interrupt_release();
    assert_true(interrupt_came()); /* none gets lost */
}

static void
an_ignored_one_stays_ignored(void **state)
{
    (void)state;
    signal(SIGINT, SIG_IGN);
    interrupt_catch();
    interrupt_listen(true);
    raise(SIGINT);
    interrupt_listen(false);
    interrupt_release();
    assert_false(interrupt_came());
    assert_true(signal(SIGINT, SIG_DFL) == SIG_IGN);
}

/* What a child that does `deed` and then leaves with 0 ends with. */
static int
end_of(void (*deed)(void))
{
    pid_t child = fork();
    int how;

    assert_true(child >= 0);
    if (child == 0) {
        deed();
        _exit(0);
    }
    assert_int_equal(waitpid(child, &how, 0), child);
    return how;
}

static void
press_twice(void)
{
    interrupt_catch();
    interrupt_listen(true);
    raise(SIGINT);
    raise(SIGINT);
}

static void
press_and_pass_on(void)
{
    interrupt_catch();
    interrupt_listen(true);
    raise(SIGINT);
    interrupt_release();
    interrupt_pass_on();
}

static void
pass_nothing_on(void)
{
    interrupt_catch();
    interrupt_release();
    interrupt_pass_on();
}

/* SIGINT after the poll has begun, from the child's own child; poll(2) is never restarted. */
static void
press_during_a_poll(void)
{
    pid_t self = getpid();

    interrupt_catch();
    interrupt_listen(true);
    if (fork() == 0)
        _exit(kill(self, SIGINT) == 0 ? 0 : 1);
    while (!interrupt_came())
        poll(NULL, 0, 50);
    interrupt_release();
    interrupt_pass_on();
}

static void
the_end_is_that_of_the_signal(void **state)
{
    void (*const deadly[])(void) = {press_twice, press_and_pass_on, press_during_a_poll};

    (void)state;
    for (size_t i = 0; i < LENGTH(deadly); i++) {
        int how = end_of(deadly[i]);

        assert_true(WIFSIGNALED(how));
        assert_int_equal(WTERMSIG(how), SIGINT);
    }
    assert_int_equal(end_of(pass_nothing_on), 0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(it_waits_until_it_is_listened_for),
    cmocka_unit_test(an_ignored_one_stays_ignored),
    cmocka_unit_test(the_end_is_that_of_the_signal),
};

const struct check_module test_base_interrupt = CHECK_MODULE("base/interrupt", tests);
