package org.borewarden.rules.watch;

import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;

/**
 * Where the bores of a segment go (metrology: the drift forecast).
 *
 * @param bores n, the bores of the segment
 * @param slope metres of deviation per part; absent under two bores
 * @param sigma metres, the standard deviation of one bore that was used
 * @param sigmaKind {@code given} or {@code residual}
 * @param partsLeft h: the smallest whole number of parts ahead at which the prediction bound
 *     reaches the acceptance limit
 * @param meanCrossing parts ahead at which the mean line reaches it
 * @param meanCrossingEarliest the early end of its Fieller interval
 * @param meanCrossingLatest the late end of its Fieller interval
 * @param side the verdict toward which it drifts, {@code undersize} or {@code oversize}
 * @param noForecast why there is none: {@code too-few}, {@code no-slope}, {@code beyond-the-data}
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
    Optional<String> noForecast) {}
