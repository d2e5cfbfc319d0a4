package org.borewarden.agent.publish.mqtt;

import java.util.Optional;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.Outbox;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.mqtt.PublishResult;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;

/** Lets a test outside this room drive the publisher's window by hand, without a thread. */
public final class WindowTurns {
  private final RecordWindow window;

  /** Where its messages go. */
  @FunctionalInterface
  public interface Send {
    /**
     * A message leaves.
     *
     * @param connection on which connection
     * @param seq the row; 0 for a probe
     * @param message the message
     */
    void send(long connection, long seq, OutMessage message);
  }

  public WindowTurns(
      Send send,
      Outbox outbox,
      Envelope envelope,
      Topics topics,
      MonotonicClock clock,
      LinkState state) {
    RecordWindow.Way way =
        new RecordWindow.Way() {
          @Override
          public void send(long connection, long seq, OutMessage message) {
            send.send(connection, seq, message);
          }

          @Override
          public void forgive() {
            // The test says when there is a next connection.
          }
        };
    this.window =
        new RecordWindow(
            way,
            outbox,
            envelope,
            topics,
            new RecordLimits(4096, Optional.empty()),
            clock,
            state,
            (delivers, detail) -> {});
  }

  public void linkChanged(LinkState state) {
    window.linkChanged(state);
  }

  public void fill() throws JournalException {
    if (window.connected()) {
      window.fill();
    }
  }

  public void answered(long connection, long seq, PublishResult result) {
    window.answered(connection, seq, result);
  }
}
