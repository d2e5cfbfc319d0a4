/** The beat of a cell's permit over MQTT: it informs, or is the only path of a cell without one. */
@NullMarked
package org.borewarden.agent.hold.mqtt;

import org.jspecify.annotations.NullMarked;
