package org.borewarden.agent.journal;

/**
 * The loop's state after an entry, from which a start goes on.
 *
 * @param seq the entry after which it holds
 * @param layout says which agents can read it
 * @param body the state in text, as it was put
 */
public record Snapshot(long seq, String layout, String body) {}
