#ifndef PONDWRIGHT_RATES_COMMAND_H
#define PONDWRIGHT_RATES_COMMAND_H

/* An edition's rates as a sheet, and a sheet as a new edition.
 *   export --config DIR --region ID --edition ID [FILE]
 *   import --config DIR --region ID --from ID --edition NEW [--rise PERCENT] [FILE] [--enquiries FILE...]
 * Export writes the sheet to FILE or to standard output. Import takes the old edition, puts the sheet's values in (without
 * a FILE: its own), raises them, checks the whole configuration with the new edition, says what differs and what that
 * does to the enquiries' prices, and only then writes regions/ID/NEW.json. It never writes over a file.
 * arguments: what follows "rates" on the command line. Returns the exit status of commands.h. */
int rates_command(int count, char **arguments);

#endif
