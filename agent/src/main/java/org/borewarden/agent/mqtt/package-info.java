/**
 * One supervised connection to an MQTT broker, and nothing of what is said over it.
 *
 * <p>{@link org.borewarden.agent.mqtt.MqttLink} owns a thread that connects, subscribes, sends,
 * watches and connects again; everybody else hands it messages and is called back. A client object
 * lives for one connection only: what a client library keeps over a loss (sessions, topic aliases,
 * buffers, its own reconnecting) is where messages get lost or connections hang, so nothing of it
 * is used. The truth about what still has to be sent is the outbox, not the link.
 */
@NullMarked
package org.borewarden.agent.mqtt;

import org.jspecify.annotations.NullMarked;
