package org.borewarden.rules.uncertainty;

import java.util.OptionalDouble;

/**
 * The temperatures of one measurement, degrees Celsius.
 *
 * @param part t_w, the workpiece at the measurement
 * @param ring t_r, the ring at mastering
 * @param gaugeSince t_g - t_gm, kelvin: how much warmer the gauge body is than at mastering; empty
 *     where one of the two is not known
 */
public record Temperatures(double part, double ring, OptionalDouble gaugeSince) {}
