/** Tests of gauges on the broker, against mosquitto. */
@NullMarked
package org.borewarden.agent.source.mqtt;

import org.jspecify.annotations.NullMarked;
