package org.borewarden.agent.acceptance;

import java.time.Duration;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import java.util.function.Supplier;
import org.awaitility.Awaitility;

/** Waits for conditions, long enough for a loaded machine and for an agent that backs off 30 s. */
final class Waiting {
  private static final Duration LIMIT = Duration.ofSeconds(120);
  private static final Duration POLL = Duration.ofMillis(20);

  private Waiting() {}

  static void until(String what, BooleanSupplier condition) {
    Awaitility.await(what).atMost(LIMIT).pollInterval(POLL).until(condition::getAsBoolean);
  }

  static <T> T first(String what, Supplier<Optional<T>> search) {
    return Awaitility.await(what)
        .atMost(LIMIT)
        .pollInterval(POLL)
        .until(search::get, Optional::isPresent)
        .orElseThrow();
  }
}
