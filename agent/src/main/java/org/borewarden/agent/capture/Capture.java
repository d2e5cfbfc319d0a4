package org.borewarden.agent.capture;

import java.util.Optional;
import java.util.function.Predicate;
import org.borewarden.agent.config.CaptureConfig;
import org.borewarden.rules.reading.Reading;

/** Makes readings of the samples of one gauge. Pure but for the gate; one thread only. */
public interface Capture {
  /**
   * Takes the next sample.
   *
   * @param sample as it was decoded
   * @return what came of it; nearly always nothing
   */
  Optional<Caught> take(Reading sample);

  /** A sample was lost or could not be read: what needs successive samples begins anew. */
  void missing();

  /**
   * The link was lost or opened: a stay in a bore that was under way ends without a reading.
   *
   * @return that, where one was under way
   */
  Optional<Caught> gap();

  /**
   * The capture that a config asks for.
   *
   * @param config how
   * @param partAtGauge whether a cell says that a part is in front of the gauge
   * @return one that has seen no sample
   */
  static Capture of(CaptureConfig config, Predicate<String> partAtGauge) {
    return config.method() instanceof CaptureConfig.Flagged flagged
        ? new FlagCapture(flagged, config.samplesPerSecond())
        : new StayCapture(
            config, () -> config.gate().isEmpty() || partAtGauge.test(config.gate().get()));
  }
}
