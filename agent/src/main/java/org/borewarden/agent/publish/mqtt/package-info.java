/**
 * Publishing over MQTT: records in order from the outbox, states as they are now.
 *
 * <p>Records go over the link {@code record}, states over the link {@code control}, so that a
 * backlog never delays a hold.
 */
@NullMarked
package org.borewarden.agent.publish.mqtt;

import org.jspecify.annotations.NullMarked;
