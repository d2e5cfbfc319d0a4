package org.borewarden.rules.watch;

import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;

/**
 * Where the bores of a segment go: the drift forecast. Nothing in it lies farther ahead than the
 * data are long; what does is left out.
 *
 * @param bores n, the feature's own bores that carry the slope: the segment's, and those before an
 *     offset
 * @param slope metres of deviation per part; absent under two bores
 * @param sigma metres, the standard deviation of one bore that was used
 * @param sigmaKind {@code given}, {@code residual}, or {@code pooled} with that of earlier tools
 * @param partsLeft h: the smallest whole number of parts ahead at which the prediction bound
 *     reaches the acceptance limit
 * @param meanCrossing parts ahead at which the mean line reaches it; negative where it has passed
 *     it
 * @param meanCrossingEarliest the early end of its two-sided Fieller interval
 * @param meanCrossingLatest the late end of its two-sided Fieller interval
 * @param side the verdict toward which it drifts, {@code undersize} or {@code oversize}; absent
 *     where no slope is proven
 * @param noForecast why partsLeft is absent: {@code too-few}, {@code no-slope}, {@code
 *     beyond-the-data}, {@code order-unknown} where the last bore has no place in cutting order,
 *     {@code no-limit} where no acceptance limit stands on that side, or {@code unlike-before}
 *     where too few bores stand without a prior and they contradict it
 * @param prior {@code earlier-tools} where the slope is theirs and that of the bores together,
 *     {@code other-features} where it is that of a pool
 */
public record ForecastView(
    int bores,
    OptionalDouble slope,
    OptionalDouble sigma,
    String sigmaKind,
    OptionalInt partsLeft,
    OptionalDouble meanCrossing,
    OptionalDouble meanCrossingEarliest,
    OptionalDouble meanCrossingLatest,
    Optional<String> side,
    Optional<String> noForecast,
    Optional<String> prior) {}
