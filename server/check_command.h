#ifndef PONDWRIGHT_CHECK_COMMAND_H
#define PONDWRIGHT_CHECK_COMMAND_H

/* `pondwright check --config DIR`: what the directory holds, one kind a line on standard output, and warnings on
 * standard error; or every fault on standard error. Returns the exit status, 0 or 1. */
int check_command(const char *directory);

#endif
