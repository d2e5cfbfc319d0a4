package org.borewarden.agent.report;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.file.yaml.Nearest;

/**
 * Hears a journal from its beginning and keeps what a report needs. What came behind the span is
 * not looked at: a report says how things stood at its end, whenever it is written. Used by one
 * thread.
 */
public final class Gathering {
  final Wanted wanted;
  final Lives lives;
  final Holds holds;
  final Rings rings;
  final Losses losses;

  /** The bores of the part that a measurement record is about. */
  final Optional<PartBores> part;

  private Optional<State> last = Optional.empty();
  private Instant lastAt = Instant.EPOCH;
  private long lastSeq;

  /**
   * Begins.
   *
   * @param wanted what the report is about
   */
  public Gathering(Wanted wanted) {
    this.wanted = wanted;
    this.lives = new Lives(wanted);
    this.holds = new Holds(wanted);
    this.rings = new Rings(wanted);
    this.losses = new Losses(wanted);
    this.part = wanted.serial().map(serial -> new PartBores(wanted, serial));
  }

  /**
   * Hears one event; in the journal's order.
   *
   * @param heard the event and what followed from it
   */
  public void hear(Heard heard) {
    if (!heard.at().isBefore(wanted.to())) {
      return;
    }
    last = Optional.of(heard.state());
    lastAt = heard.at();
    lastSeq = heard.event().seq() + heard.decisions().size();
    if (wanted.serial().isEmpty()) {
      lives.hear(heard);
    } else {
      lives.know(heard);
    }
    holds.hear(heard);
    rings.hear(heard);
    losses.hear(heard);
    part.ifPresent(bores -> bores.hear(heard));
  }

  /** The bores of the serial that a measurement record is about, oldest first. */
  List<LifeBore> ofSerial() {
    return part.map(PartBores::bores).orElse(List.of());
  }

  /** What was remembered at the end of the span, or when the journal ended. */
  State state() {
    return last.orElseGet(State::initial);
  }

  /** When the last event of the span was. */
  Instant lastAt() {
    return lastAt;
  }

  /** The last seq that was looked at. */
  long lastSeq() {
    return lastSeq;
  }

  /**
   * Refuses what cannot be reported, with the nearest that can.
   *
   * @throws ReportException when there is no such feature, part number or serial, or nothing at all
   *     in the span
   */
  public void check() throws ReportException {
    named("--feature", "a feature", wanted.feature(), lives.features());
    named("--part", "a part number", wanted.part(), lives.parts());
    named("--serial", "a serial", wanted.serial(), part.map(PartBores::serials).orElse(Set.of()));
    if (lives.tooMany()) {
      throw new ReportException(
          "more than "
              + Lives.MOST_BORES
              + " bores in "
              + wanted.span()
              + ": ask for a shorter span, or for one feature or part number");
    }
    if (wanted.serial().isEmpty() && lives.lives().isEmpty()) {
      String whose = wanted.feature().or(wanted::part).map(of -> " of " + of).orElse("");
      throw new ReportException(
          "no bore" + whose + " was judged in " + wanted.span() + ": " + kept());
    }
  }

  private String kept() {
    return lives.firstBore().isEmpty()
        ? "the journal holds none up to the end of that span"
        : "the journal holds bores from "
            + lives.firstBore().get()
            + " to "
            + lives.lastBore().orElseThrow()
            + " up to the end of that span";
  }

  private static void named(String option, String what, Optional<String> asked, Set<String> known)
      throws ReportException {
    if (asked.isPresent() && !known.contains(asked.get())) {
      String near =
          Nearest.to(asked.get(), List.copyOf(known))
              .map(n -> "; did you mean \"" + n + "\"?")
              .orElse("");
      throw new ReportException(
          option + ": expected " + what + " of the journal, found \"" + asked.get() + "\"" + near);
    }
  }
}
