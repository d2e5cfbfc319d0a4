/** Frames from messages on the agent's broker. */
@NullMarked
package org.borewarden.agent.source.mqtt;

import org.jspecify.annotations.NullMarked;
