/* acid.h - the weak acids known here and how readily they part with hydrogen ions. */
#ifndef ACID_H
#define ACID_H

#include "status.h"

enum acid { ACID_ACETIC, ACID_BORIC, ACID_CARBONIC, ACID_CITRIC, ACID_LACTIC, ACID_PHOSPHORIC, ACID_COUNT };

enum { ACID_STEPS_MAX = 3 };

/* Its name in reference/acid_constants.csv ("citric"), and how many hydrogen ions it can give (1 to 3). */
const char *acid_name(enum acid acid);
int acid_steps(enum acid acid);

/* pKa of one step at infinite dilution.
 *
 * step           1 to acid_steps(); anything else is a mistake of the program
 * temperature_c  0 to 60 degrees Celsius. STATUS_RANGE outside.
 *
 * Carbonic acid (CO2(aq) counted as H2CO3): L. N. Plummer and E. Busenberg (1982), Geochim. Cosmochim. Acta
 * 46, 1011-1040. Lactic acid: Martin and Tartar (1937), 3.857 + 5e-5 (t - 22.5)^2. The others: pKa at 25 degC
 * and reaction enthalpy of the table, by van 't Hoff; heat capacities are left out, which costs up to about
 * 0.07 at 0 degC. */
enum status acid_pka(enum acid acid, int step, double temperature_c, double *ret_pka,
                     struct failure *failure);

/* log10 of the Henry constant of carbon dioxide, mol/(kg atm). 0 to 60 degC; source as carbonic acid. */
enum status acid_log_henry_co2(double temperature_c, double *ret_log_kh, struct failure *failure);

#endif
