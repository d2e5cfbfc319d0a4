package org.borewarden.agent.mqtt;

/** Hears once what became of a message. */
@FunctionalInterface
public interface PublishListener {
  /**
   * The message is done with. Called on a thread of the link or of the client; must only hand over:
   * a wait here would stop the whole connection.
   *
   * @param result what became of it
   */
  void done(PublishResult result);
}
