package org.borewarden.agent.capture;

import java.time.Duration;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import org.borewarden.agent.config.CaptureConfig;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.reading.Reading;

/**
 * One reading for each stay of the gauge in a bore. A stay begins when the samples come between the
 * sizes that the gauge shows in a bore while a part is there, and ends when they have left them for
 * {@link #LEFT}, or at once when the part is gone. A stay of which the beginning was not seen gives
 * none, since it may have given one before.
 */
final class StayCapture implements Capture {
  /** Samples outside for so long end a stay; a single one may be noise. */
  static final Duration LEFT = Duration.ofMillis(50);

  /** A stay that was shorter was a hand that moved past, and is not told. */
  static final Duration MEANT = Duration.ofMillis(250);

  private final Optional<CaptureConfig.Within> within;
  private final BooleanSupplier partThere;
  private final Method method;
  private final int leftSamples;
  private final int meantSamples;
  private Stay stay = Stay.UNKNOWN;
  private int outside;
  private long inside;

  private enum Stay {
    /** Whether the gauge is in a bore that it has measured is not known. */
    UNKNOWN,
    /** In no bore. */
    OUT,
    /** In a bore, no reading yet. */
    WAITING,
    /** In a bore that has its reading. */
    TAKEN
  }

  StayCapture(CaptureConfig config, BooleanSupplier partThere) {
    this.within = config.within();
    this.partThere = partThere;
    this.method = Method.of(config.method(), config.samplesPerSecond());
    this.leftSamples = Method.samples(LEFT, config.samplesPerSecond());
    this.meantSamples = Method.samples(MEANT, config.samplesPerSecond());
  }

  @Override
  public Optional<Caught> take(Reading sample) {
    boolean there = partThere.getAsBoolean();
    if (there && isWithin(sample.value())) {
      outside = 0;
      return inside(sample);
    }
    outside++;
    method.restart();
    return !there || outside >= leftSamples ? left() : Optional.empty();
  }

  private boolean isWithin(Length value) {
    return within.isEmpty()
        || (!value.isBelow(within.get().least()) && !value.isAbove(within.get().most()));
  }

  private Optional<Caught> inside(Reading sample) {
    if (stay == Stay.OUT) {
      stay = Stay.WAITING;
      inside = 0;
      method.begin();
    }
    if (stay != Stay.WAITING) {
      return Optional.empty();
    }
    inside++;
    Optional<Method.Found> found = method.take(sample.value().picometres());
    if (found.isEmpty()) {
      return Optional.empty();
    }
    stay = Stay.TAKEN;
    return Optional.of(
        new Caught.Taken(sample.captured(new Length(found.get().value()), found.get().captured())));
  }

  private Optional<Caught> left() {
    boolean lacked = stay == Stay.WAITING && inside >= meantSamples;
    stay = Stay.OUT;
    return lacked ? Optional.of(method.missed()) : Optional.empty();
  }

  @Override
  public void missing() {
    method.restart();
  }

  @Override
  public Optional<Caught> gap() {
    boolean lacked = stay == Stay.WAITING;
    stay = Stay.UNKNOWN;
    outside = 0;
    method.restart();
    return lacked
        ? Optional.of(
            new Caught.Missed(
                "gap", "expected a reading of the bore, found that the link was lost before it"))
        : Optional.empty();
  }
}
