package org.borewarden.agent.payload;

import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.reading.Reading;

/**
 * Bytes that are no reading; topic {@code rejected/<gauge>}.
 *
 * @param gauge the gauge, or the port where no gauge could be told
 * @param why a key
 * @param detail in words: what was expected and found
 * @param offset the byte at which it went wrong
 * @param excerpt the frame's beginning, escaped
 * @param unpublished how many more were rejected since the last such record
 */
record RejectedPayload(
    String gauge, String why, String detail, int offset, String excerpt, long unpublished) {

  static RejectedPayload of(Event.FrameRejected event) {
    return new RejectedPayload(
        event.gauge(),
        event.why(),
        event.detail(),
        event.offset(),
        event.excerpt(),
        event.unpublished());
  }

  /** A reading that is not believed: what the gauge showed stands for the frame. */
  static RejectedPayload of(Decision.ReadingDisbelieved decision) {
    Reading reading = decision.reading();
    return new RejectedPayload(
        decision.gauge(),
        decision.why(),
        decision.detail(),
        0,
        Size.in(reading.value(), reading.unit(), reading.decimals()).toPlainString()
            + " "
            + reading.unit().symbol(),
        0);
  }

  Event event() {
    return new Event.FrameRejected(gauge, why, detail, offset, excerpt, unpublished);
  }
}
