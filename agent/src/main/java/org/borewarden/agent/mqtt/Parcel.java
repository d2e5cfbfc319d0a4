package org.borewarden.agent.mqtt;

import java.util.concurrent.atomic.AtomicBoolean;
import org.borewarden.agent.mqtt.PublishResult.Outcome;

/** A message on its way with the one who wants to hear of it. Thread-safe; tells once. */
final class Parcel {
  private final OutMessage message;
  private final PublishListener listener;
  private final long offeredNanos;
  private final AtomicBoolean done = new AtomicBoolean();
  private volatile long sentNanos;

  Parcel(OutMessage message, PublishListener listener, long offeredNanos) {
    this.message = message;
    this.listener = listener;
    this.offeredNanos = offeredNanos;
    this.sentNanos = offeredNanos;
  }

  OutMessage message() {
    return message;
  }

  boolean expired(long now) {
    return message.expiry().isPresent() && now - offeredNanos > message.expiry().get().toNanos();
  }

  void sent(long now) {
    sentNanos = now;
  }

  /** Tells the outcome unless one was told before. */
  void finish(Outcome outcome, int reasonCode, String detail, long now) {
    if (done.compareAndSet(false, true)) {
      listener.done(new PublishResult(outcome, reasonCode, detail, now - sentNanos));
    }
  }
}
