package org.borewarden.agent.source;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.borewarden.agent.capture.Capture;
import org.borewarden.agent.capture.Captures;
import org.borewarden.agent.capture.Caught;
import org.borewarden.agent.decode.Decoded;
import org.borewarden.agent.frame.Cut;
import org.borewarden.agent.frame.FrameCutter;
import org.borewarden.rules.reading.Reading;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Turns the bytes of one port into reports: cut, decode, say. Owned by the source's thread. */
final class FrameReader {
  private static final Logger LOG = LoggerFactory.getLogger(FrameReader.class);

  private final FrameCutter framer;
  private final Function<String, List<Decoded>> decoder;
  private final Captures captures;
  private final SourceReport report;
  private final int longest;
  private final List<String> lowBattery;
  private long junkBytes;
  private boolean faultLogged;

  FrameReader(
      FrameCutter framer,
      Function<String, List<Decoded>> decoder,
      Captures captures,
      SourceReport report,
      int longest,
      List<String> lowBattery) {
    this.framer = framer;
    this.decoder = decoder;
    this.captures = captures;
    this.report = report;
    this.longest = longest;
    this.lowBattery = lowBattery;
  }

  void opened() {
    framer.opened();
    captures.gap();
  }

  void quiet() {
    framer.quiet();
  }

  void gap() {
    framer.gap();
    captures.missing();
  }

  void take(byte[] bytes, int length, Optional<String> bookmark) throws InterruptedException {
    for (Cut cut : framer.take(bytes, length)) {
      say(cut, bookmark);
    }
    countJunk();
  }

  void lost() throws InterruptedException {
    Optional<Cut> half = framer.lost();
    if (half.isPresent()) {
      say(half.get(), Optional.empty());
    }
    countJunk();
    for (Map.Entry<String, Caught.Missed> cut : captures.gap().entrySet()) {
      report.missed(cut.getKey(), cut.getValue());
    }
  }

  private void say(Cut cut, Optional<String> bookmark) throws InterruptedException {
    if (cut instanceof Cut.Whole whole) {
      decode(whole.text(), bookmark);
    } else {
      Cut.Broken broken = (Cut.Broken) cut;
      captures.missing();
      switch (broken.flaw()) {
        case TOO_LONG ->
            report.rejected(
                broken.flaw().key(),
                "expected a frame of at most " + longest + " bytes, found no end so far",
                longest,
                broken.start());
        case CHECKSUM ->
            report.rejected(
                broken.flaw().key(),
                "expected a frame whose checksum is that of its bytes, found another",
                0,
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
  private void decode(String frame, Optional<String> bookmark) throws InterruptedException {
    List<Decoded> all;
    try {
      all = decoder.apply(frame);
    } catch (RuntimeException fault) {
      logOnce(fault);
      captures.missing();
      report.rejected("fault", "a fault of the agent: " + fault.getClass().getName(), 0, frame);
      return;
    }
    for (Decoded decoded : all) {
      if (decoded instanceof Decoded.Accepted accepted) {
        accepted(accepted.reading().at(bookmark));
      } else {
        captures.missing();
        report.refused((Decoded.Refused) decoded, frame);
      }
    }
  }

  private void accepted(Reading decoded) throws InterruptedException {
    Reading reading = decoded;
    if (!lowBattery.isEmpty()) {
      boolean low = decoded.status().filter(lowBattery::contains).isPresent();
      report.battery(decoded.gauge(), low);
      reading = decoded.withBattery(low);
    }
    Optional<Capture> capture = captures.of(reading.gauge());
    if (capture.isEmpty()) {
      report.reading(reading);
      return;
    }
    report.sample(reading.gauge());
    Optional<Caught> caught = capture.get().take(reading);
    if (caught.isEmpty()) {
      return;
    }
    if (caught.get() instanceof Caught.Taken taken) {
      report.reading(taken.reading());
    } else {
      report.missed(reading.gauge(), (Caught.Missed) caught.get());
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
