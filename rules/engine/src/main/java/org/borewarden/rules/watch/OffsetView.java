package org.borewarden.rules.watch;

/**
 * What to enter at the machine so that the next bores come out at the aim. Advice only.
 *
 * @param level metres from nominal: the line at the last bore, not the mean
 * @param levelUncertainty its standard uncertainty
 * @param off metres from the aim
 * @param gain the share of it that is taken back: 1, 1/2, 1/3 with each offset of a tool
 * @param diameter the change on diameter, rounded to the machine's step toward a smaller bore; 0
 *     inside the dead band of two uncertainties
 * @param entry what is entered: on radius or diameter and with the machine's sign
 */
public record OffsetView(
    double level,
    double levelUncertainty,
    double off,
    double gain,
    double diameter,
    double entry) {}
