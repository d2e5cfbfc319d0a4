package org.borewarden.agent.config;

import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;

/**
 * The clock and the shifts of the site, for what people read. Topics, journal and logs stay in UTC.
 *
 * @param zone the site's time zone
 * @param shifts its shifts; empty where none are named
 */
public record SiteConfig(ZoneId zone, List<Shift> shifts) {
  /** Nothing is said of the site: UTC, and no shifts. */
  public static final SiteConfig DEFAULT = new SiteConfig(ZoneOffset.UTC, List.of());

  /** Copies the list. */
  public SiteConfig {
    shifts = List.copyOf(shifts);
  }

  /**
   * A shift, each day.
   *
   * @param name its name, unique
   * @param from when it begins, by the clock on the wall
   * @param to when it ends; where that is not after its beginning, on the day after
   */
  public record Shift(String name, LocalTime from, LocalTime to) {
    /**
     * When the shift of a day begins.
     *
     * @param day the day on which it begins
     * @param zone the site's time zone
     * @return the moment; a time that the clock leaps over is moved on by the leap
     */
    public Instant begins(LocalDate day, ZoneId zone) {
      return day.atTime(from).atZone(zone).toInstant();
    }

    /**
     * When the shift of a day ends.
     *
     * @param day the day on which it begins
     * @param zone the site's time zone
     * @return the first moment that is not in it
     */
    public Instant ends(LocalDate day, ZoneId zone) {
      LocalDate last = to.isAfter(from) ? day : day.plusDays(1);
      return last.atTime(to).atZone(zone).toInstant();
    }
  }

  /**
   * The shift of a name.
   *
   * @param name the name
   * @return empty where none has it
   */
  public Optional<Shift> shift(String name) {
    return shifts.stream().filter(shift -> shift.name().equals(name)).findFirst();
  }
}
