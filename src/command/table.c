/* table.c - all commands, in the order in which they are listed. */
#include "commands.h"

const struct command *const command_table[] = {
    /* set up */
    &batch_add_command,
    &batch_list_command,
    &batch_show_command,
    &batch_hold_command,
    &batch_release_command,
    &batch_discard_command,
    &batch_used_up_command,
    &batch_close_command,
    &maker_command,
    &policy_command,
    &due_command,
    &gear_add_command,
    &gear_list_command,
    &gear_show_command,
    &gear_default_command,
    &gear_retire_command,
    &calibrate_command,
    /* bench */
    &dilute_command,
    &test_command,
    &resume_command,
    &read_command,
    &correct_recipe_command, /* before the word that begins it */
    &correct_command,
    &titrate_command,
    /* judge */
    &verdict_command,
    &recipe_command,
    &rework_command,
    &expect_command,
    &trend_command,
    &compare_command,
    &plan_command,
    /* share */
    &import_readings_command,
    &import_batches_command,
    &import_gear_command,
    &import_calibrations_command,
    &import_titrations_command,
    &import_notebook_command,
    &export_command,
    &backup_command,
    &report_command,
    &verify_command,
    &demo_command,
    NULL,
};
