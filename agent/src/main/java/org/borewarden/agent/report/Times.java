package org.borewarden.agent.report;

import java.time.Duration;
import java.time.Instant;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** Shows moments by the clock of the site; the day only where it is not the span's first. */
final class Times {
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);
  private static final DateTimeFormatter WHOLE =
      DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm:ss", Locale.ROOT);

  private final Wanted wanted;

  Times(Wanted wanted) {
    this.wanted = wanted;
  }

  String of(Instant at) {
    ZonedDateTime local = at.atZone(wanted.zone());
    boolean sameDay =
        wanted.serial().isEmpty()
            && local.toLocalDate().equals(wanted.from().atZone(wanted.zone()).toLocalDate());
    return (sameDay ? TIME : WHOLE).format(local);
  }

  String whole(Instant at) {
    return WHOLE.format(at.atZone(wanted.zone()));
  }

  /** With its offset, so that no hour is meant twice. */
  String exact(Instant at) {
    return DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(at.atZone(wanted.zone()));
  }

  static String lasting(Instant from, Instant to) {
    Duration time = Duration.between(from, to);
    return String.format(
        Locale.ROOT, "%d:%02d:%02d", time.toHours(), time.toMinutesPart(), time.toSecondsPart());
  }
}
