package org.borewarden.agent.publish.mqtt;

/** Hears whether the broker delivers what it accepts. */
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
}
