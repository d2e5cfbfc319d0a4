package org.borewarden.agent.mqtt;

/**
 * What became of a message.
 *
 * @param outcome in one word
 * @param reasonCode the broker's reason code; 0 where none was given (MQTT 3.1.1, QoS 0)
 * @param detail in words, for people
 * @param nanos from handing it to the client until this answer, by the monotonic clock
 */
public record PublishResult(Outcome outcome, int reasonCode, String detail, long nanos) {

  /** What became of it, in one word. */
  public enum Outcome {
    /** The broker has it (QoS 1), or it was sent (QoS 0). */
    ACCEPTED,
    /** The broker answered with a reason code of 128 or more. */
    REFUSED,
    /** The connection was lost before an answer; the broker may have it or not. */
    LOST,
    /** It was never handed to a connection. */
    NOT_SENT
  }

  /**
   * Whether the broker has taken it.
   *
   * @return true for {@link Outcome#ACCEPTED}
   */
  public boolean accepted() {
    return outcome == Outcome.ACCEPTED;
  }

  /**
   * Whether the broker said that nobody subscribes to the topic; MQTT 5 brokers may say so.
   *
   * @return true for reason code 16
   */
  public boolean nobodySubscribes() {
    return reasonCode == ReasonCodes.NO_MATCHING_SUBSCRIBERS;
  }
}
