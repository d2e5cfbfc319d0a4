/** Tests of what is said over MQTT. */
@NullMarked
package org.borewarden.agent.command.mqtt;

import org.jspecify.annotations.NullMarked;
