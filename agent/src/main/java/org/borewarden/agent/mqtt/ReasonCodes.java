package org.borewarden.agent.mqtt;

import java.util.Locale;

/** MQTT reason codes in words: those of 5.0 (section 2.4), and the five return codes of 3.1.1. */
public final class ReasonCodes {
  /** Taken, but nobody subscribes. A good code. */
  public static final int NO_MATCHING_SUBSCRIBERS = 0x10;

  /** The least code that means refusal. */
  public static final int LEAST_REFUSAL = 0x80;

  /** The sender may not publish on this topic. */
  public static final int NOT_AUTHORISED = 0x87;

  /** The packet is larger than the receiver takes. */
  public static final int TOO_LARGE = 0x95;

  /** Another client came with our client id. */
  public static final int TAKEN_OVER = 0x8E;

  /** The broker has no room for the sender's messages now. Says nothing of the message. */
  public static final int QUOTA_EXCEEDED = 0x97;

  private ReasonCodes() {}

  /**
   * A code of MQTT 5 in words.
   *
   * @param code 0 to 255
   * @return for example {@code refused by access rights (0x87)}
   */
  public static String words(int code) {
    return String.format(Locale.ROOT, "%s (0x%02X)", plain(code), code);
  }

  /**
   * A CONNECT return code of MQTT 3.1.1 in words.
   *
   * @param code 1 to 5
   * @return in words
   */
  static String oldWords(int code) {
    String plain =
        switch (code) {
          case 1 -> "the broker does not speak this protocol version";
          case 2 -> "the broker does not take this client id";
          case 3 -> "the broker is not available";
          case 4 -> "wrong user name or password";
          case 5 -> "not authorised: wrong user name or password, or no access right";
          default -> "refused";
        };
    return plain + " (return code " + code + ")";
  }

  private static String plain(int code) {
    return switch (code) {
      case 0x00 -> "good";
      case NO_MATCHING_SUBSCRIBERS -> "nobody subscribes to this topic";
      case 0x80 -> "refused without a reason";
      case 0x81 -> "malformed packet";
      case 0x82 -> "protocol error";
      case 0x83 -> "refused for a reason of the broker's own";
      case 0x84 -> "the broker does not speak this protocol version";
      case 0x85 -> "the broker does not take this client id";
      case 0x86 -> "wrong user name or password";
      case NOT_AUTHORISED -> "not authorised: refused by access rights";
      case 0x88 -> "the broker is not available";
      case 0x89 -> "the broker is busy";
      case 0x8A -> "banned by the broker";
      case 0x8B -> "the broker is shutting down";
      case 0x8D -> "the broker heard nothing within the keep-alive";
      case TAKEN_OVER -> "another client came with the same client id";
      case 0x8F -> "the broker does not take this topic filter";
      case 0x90 -> "the broker does not take this topic name";
      case 0x93 -> "more messages under way than the broker allows";
      case 0x94 -> "a topic alias that the broker does not know";
      case TOO_LARGE -> "the packet is too large for the broker";
      case 0x96 -> "more messages than the broker allows";
      case QUOTA_EXCEEDED -> "a quota of the broker is exceeded";
      case 0x98 -> "ended by the broker's administrator";
      case 0x99 -> "the broker does not take this payload format";
      case 0x9A -> "the broker does not keep retained messages";
      case 0x9B -> "the broker does not support this QoS";
      case 0x9C, 0x9D -> "the broker asks to use another server";
      case 0x9F -> "connected too often for the broker";
      default -> "refused";
    };
  }
}
