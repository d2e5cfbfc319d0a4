/** Tests of what is said over MQTT. */
@NullMarked
package org.borewarden.agent.hold.mqtt;

import org.jspecify.annotations.NullMarked;
