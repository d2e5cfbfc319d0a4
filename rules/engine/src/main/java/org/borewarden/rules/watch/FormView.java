package org.borewarden.rules.watch;

import java.util.OptionalDouble;

/**
 * Capability of a form by quantiles, over whole tool lives, or, while none is over, over the one
 * under way.
 *
 * @param form the kind of form, as in files
 * @param lives the whole lives; 0 where it is over a part of one
 * @param partial whether it is over a life that is not whole
 * @param bores the bores
 * @param median X50 %, metres
 * @param largest the largest, metres
 * @param upperQuantile X99.865 %, metres; absent under 740 bores, where it lies beyond the data
 * @param ppk (U - X50) / (X99.865 - X50); absent where the quantile is
 * @param ppkLow what it is at least, by a bound of the quantile that supposes no distribution;
 *     absent where so few bores give none
 * @param over the share seen over the limit
 * @param overAtMost the most that the share over the limit can be, at the confidence
 */
public record FormView(
    String form,
    int lives,
    boolean partial,
    long bores,
    double median,
    double largest,
    OptionalDouble upperQuantile,
    OptionalDouble ppk,
    OptionalDouble ppkLow,
    double over,
    double overAtMost) {}
