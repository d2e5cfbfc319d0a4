package org.borewarden.agent.mqtt;

import java.util.List;

/**
 * One connection of a client library, used once. The methods start something and return; what comes
 * of it is told on threads of the library. Called on the link's thread except where it is said
 * otherwise.
 */
interface Wire {
  /** Starts to connect; {@code events} hears the outcome and everything after it. */
  void connect(Events events) throws LinkException;

  /** Hands over a message; {@code answer} hears what the broker says. */
  void publish(OutMessage message, Answer answer) throws LinkException;

  /** Subscribes with QoS 1; {@code answer} hears what the broker says. */
  void subscribe(List<String> filters, Answer answer) throws LinkException;

  /** Says farewell, so that the will is not sent; {@code answer} hears when that is done. */
  void farewell(Answer answer) throws LinkException;

  /**
   * Closes the socket and frees the library's threads. Called once, on a thread of its own, because
   * it may block.
   */
  void discard();

  /** What happens to a connection. Called on threads of the library; must only hand over. */
  interface Events {
    /**
     * The broker has taken us.
     *
     * @param greeting what it says of itself
     */
    void connected(Greeting greeting);

    /**
     * The broker, or the network, has not.
     *
     * @param why in words
     * @param reasonCode the broker's code; 0 where it gave none
     */
    void refused(String why, int reasonCode);

    /**
     * The connection is gone.
     *
     * @param why in words
     * @param reasonCode the broker's code; 0 where it gave none
     */
    void lost(String why, int reasonCode);

    /**
     * A message came.
     *
     * @param message the message
     */
    void arrived(InMessage message);
  }

  /** The answer to one request. Called once, on a thread of the library; must only hand over. */
  interface Answer {
    /**
     * The broker answered with a reason code, which may mean refusal.
     *
     * @param reasonCode the worst of its codes
     */
    void answered(int reasonCode);

    /**
     * There will be no answer.
     *
     * @param why in words
     */
    void failed(String why);
  }
}
