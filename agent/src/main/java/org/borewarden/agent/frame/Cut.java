package org.borewarden.agent.frame;

/**
 * What the framer cut from the stream. Text holds one character a byte (ISO 8859-1), so that an
 * index into it is the byte's offset.
 */
public sealed interface Cut {

  /**
   * A frame that began and ended under our eyes.
   *
   * @param text its bytes without the terminator, never empty
   */
  record Whole(String text) implements Cut {}

  /**
   * Bytes that must not be read as a frame.
   *
   * @param flaw why
   * @param start its first bytes, as many as were held
   */
  record Broken(Flaw flaw, String start) implements Cut {}

  /** Why bytes are no frame. */
  enum Flaw {
    /** Longer than a frame may be; said once, and then skipped up to the next terminator. */
    TOO_LONG("too-long"),
    /** Its checksum is not that of its bytes. */
    CHECKSUM("checksum"),
    /** Its beginning, its middle or its end may be missing. */
    PARTIAL("partial");

    private final String key;

    Flaw(String key) {
      this.key = key;
    }

    /**
     * The reason as topics and metrics name it.
     *
     * @return for example {@code too-long}
     */
    public String key() {
      return key;
    }
  }
}
