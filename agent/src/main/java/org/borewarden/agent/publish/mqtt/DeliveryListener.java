package org.borewarden.agent.publish.mqtt;

/** Hears whether the broker delivers what it accepts, and what becomes of the records. */
@FunctionalInterface
public interface DeliveryListener {
  /**
   * It is known anew whether the broker delivers. Called on a thread of the link, the client or the
   * publisher; must only hand over.
   *
   * @param delivers whether a message to ourselves came back
   * @param detail in words
   */
  void changed(boolean delivers, String detail);

  /**
   * The broker has taken a record.
   *
   * @param nanos from handing it to the client to the acknowledgement
   */
  default void acknowledged(long nanos) {}

  /**
   * A record was set aside.
   *
   * @param why one of {@code too-large}, {@code no-right}, {@code refused}, {@code closed}, {@code
   *     not-publishable}
   */
  default void setAside(String why) {}
}
