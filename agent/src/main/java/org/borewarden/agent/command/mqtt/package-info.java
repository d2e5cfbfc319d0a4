/** Commands over MQTT: taken from topics, proved, read, offered to the inbox, answered. */
@NullMarked
package org.borewarden.agent.command.mqtt;

import org.jspecify.annotations.NullMarked;
