package org.borewarden.agent.source;

import java.util.Optional;
import java.util.function.Function;
import org.borewarden.agent.decode.Decoded;
import org.borewarden.agent.frame.Cut;
import org.borewarden.agent.frame.Framer;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Turns the bytes of one port into reports: cut, decode, say. Owned by the source's thread. */
final class FrameReader {
  private static final Logger LOG = LoggerFactory.getLogger(FrameReader.class);

  private final Framer framer;
  private final Function<String, Decoded> decoder;
  private final SourceReport report;
  private final int longest;
  private long junkBytes;
  private boolean faultLogged;

  FrameReader(Framer framer, Function<String, Decoded> decoder, SourceReport report, int longest) {
    this.framer = framer;
    this.decoder = decoder;
    this.report = report;
    this.longest = longest;
  }

  void opened() {
    framer.opened();
  }

  void quiet() {
    framer.quiet();
  }

  void gap() {
    framer.gap();
  }

  void take(byte[] bytes, int length) throws InterruptedException {
    for (Cut cut : framer.take(bytes, length)) {
      say(cut);
    }
    countJunk();
  }

  void lost() throws InterruptedException {
    Optional<Cut> half = framer.lost();
    if (half.isPresent()) {
      say(half.get());
    }
    countJunk();
  }

  private void say(Cut cut) throws InterruptedException {
    if (cut instanceof Cut.Whole whole) {
      decode(whole.text());
    } else {
      Cut.Broken broken = (Cut.Broken) cut;
      switch (broken.flaw()) {
        case TOO_LONG ->
            report.rejected(
                broken.flaw().key(),
                "expected a frame of at most " + longest + " bytes, found no end so far",
                longest,
                broken.start());
        case PARTIAL ->
            report.rejected(
                broken.flaw().key(),
                "expected a whole frame, found one that may lack a part: the link had just been"
                    + " opened, was lost, or paused within it",
                0,
                broken.start());
      }
    }
  }

  /** The one place where a fault of ours that some frame provokes is held: other frames go on. */
  private void decode(String frame) throws InterruptedException {
    Decoded decoded;
    try {
      decoded = decoder.apply(frame);
    } catch (RuntimeException fault) {
      logOnce(fault);
      report.rejected("fault", "a fault of the agent: " + fault.getClass().getName(), 0, frame);
      return;
    }
    if (decoded instanceof Decoded.Accepted accepted) {
      report.reading(accepted.reading());
    } else {
      report.refused((Decoded.Refused) decoded, frame);
    }
  }

  private void logOnce(RuntimeException fault) {
    if (!faultLogged) {
      faultLogged = true;
      LOG.error(
          "A frame could not be decoded by a fault of the agent; later ones are counted", fault);
    }
  }

  private void countJunk() {
    report.junkBytes(framer.junkBytes() - junkBytes);
    junkBytes = framer.junkBytes();
  }
}
