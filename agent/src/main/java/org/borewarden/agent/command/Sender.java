package org.borewarden.agent.command;

import org.borewarden.rules.engine.Role;

/**
 * Who sent a command, as far as it was proved.
 *
 * @param role the role in which it was sent
 * @param authenticatedAs what was proved: a key, a user of the local socket, or a topic's role
 * @param challengeRequired whether a release or bypass must quote the hold's challenge
 */
public record Sender(Role role, String authenticatedAs, boolean challengeRequired) {}
