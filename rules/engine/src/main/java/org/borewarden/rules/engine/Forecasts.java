package org.borewarden.rules.engine;

import java.util.Collections;
import java.util.Comparator;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import org.borewarden.rules.watch.ForecastView;

/**
 * Where the streams of a feature go.
 *
 * @param byStream the forecast of each stream, by its name
 * @param newest the stream of the last bore
 */
record Forecasts(NavigableMap<String, ForecastView> byStream, String newest) {
  static final Forecasts NONE = new Forecasts(new TreeMap<>(), "");

  Forecasts {
    byStream = Collections.unmodifiableNavigableMap(new TreeMap<>(byStream));
  }

  Forecasts with(String stream, Optional<ForecastView> forecast) {
    NavigableMap<String, ForecastView> next = new TreeMap<>(byStream);
    forecast.ifPresentOrElse(view -> next.put(stream, view), () -> next.remove(stream));
    return new Forecasts(next, stream);
  }

  /** The stream that is out first; where none is foretold, that of the last bore. */
  Optional<ForecastView> shown() {
    return byStream.values().stream()
        .filter(view -> view.partsLeft().isPresent())
        .min(Comparator.comparingInt(view -> view.partsLeft().orElseThrow()))
        .or(() -> Optional.ofNullable(byStream.get(newest)));
  }
}
