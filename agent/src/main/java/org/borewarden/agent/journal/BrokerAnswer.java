package org.borewarden.agent.journal;

import java.util.Optional;

/**
 * What the broker said about one row of the outbox.
 *
 * @param seq the row
 * @param refusal its reason for refusing the row; empty for an acknowledgement
 */
record BrokerAnswer(long seq, Optional<String> refusal) {}
