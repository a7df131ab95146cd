/* commands.h - the commands that table.c lists; each is defined in the file of its name. */
#ifndef COMMANDS_H
#define COMMANDS_H

#include "command.h"

extern const struct command batch_add_command, batch_list_command, batch_show_command;
extern const struct command batch_hold_command, batch_release_command, batch_discard_command;
extern const struct command batch_used_up_command;
extern const struct command batch_close_command;
extern const struct command maker_command;
extern const struct command policy_command;
extern const struct command due_command;
extern const struct command gear_add_command, gear_list_command, gear_show_command, gear_default_command,
    gear_retire_command;
extern const struct command calibrate_command;
extern const struct command demo_command;
extern const struct command dilute_command;
extern const struct command expect_command;
extern const struct command test_command, resume_command;
extern const struct command verdict_command;
extern const struct command read_command;
extern const struct command correct_command, correct_recipe_command;
extern const struct command recipe_command;
extern const struct command rework_command;
extern const struct command report_command;
extern const struct command titrate_command;
extern const struct command import_readings_command, import_batches_command, import_gear_command;
extern const struct command import_calibrations_command, import_titrations_command;
extern const struct command import_notebook_command, export_command;
extern const struct command backup_command, verify_command;
extern const struct command trend_command;
extern const struct command compare_command;
extern const struct command plan_command;

#endif
