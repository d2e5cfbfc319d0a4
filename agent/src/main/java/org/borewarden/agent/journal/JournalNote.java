package org.borewarden.agent.journal;

/**
 * What the scribe did to entries beside writing them.
 *
 * @param what a key: {@code retired}, {@code left-unsent}
 * @param first the first entry concerned
 * @param last the last entry concerned
 * @param count how many entries
 * @param detail in words
 */
public record JournalNote(String what, long first, long last, long count, String detail) {
  static final String RETIRED = "retired";
  static final String LEFT_UNSENT = "left-unsent";
}
