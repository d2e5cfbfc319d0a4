package org.borewarden.rules.engine;

import java.time.Instant;
import java.util.Optional;

/**
 * A request from a person or from the cell, after its sender was authenticated.
 *
 * @param id chosen by the sender; the same id again gets the same answer and does nothing twice
 * @param role the role in which it was sent
 * @param authenticatedAs what was proved: a key, a user of the local socket, or a topic's role
 * @param who what was claimed: a person's id
 * @param issued when the sender says it was made
 * @param challenge what the sender quotes of the hold topic, where it must
 * @param text free words, at most 200 characters
 * @param order what is asked for
 */
public record Command(
    String id,
    Role role,
    String authenticatedAs,
    Optional<String> who,
    Optional<Instant> issued,
    Optional<String> challenge,
    Optional<String> text,
    Order order) {}
