#ifndef PONDWRIGHT_READY_COMMAND_H
#define PONDWRIGHT_READY_COMMAND_H

/* `pondwright ready [--listen ADDR:PORT]`: asks the service that listens there for /readyz, for the health checks of images
 * in which nothing else speaks HTTP. Where an address means all of them, or is left out, this machine is asked.
 * Returns 0 where the answer is 200. Else the reason is on standard error: 1 for another answer, and for none within two
 * seconds; 2 for what is no ADDR:PORT. */
int ready_command(const char *where);

#endif
