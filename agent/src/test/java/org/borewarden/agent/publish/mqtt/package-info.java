/** Tests of what is said over MQTT. */
@NullMarked
package org.borewarden.agent.publish.mqtt;

import org.jspecify.annotations.NullMarked;
