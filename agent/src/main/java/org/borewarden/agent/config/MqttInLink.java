package org.borewarden.agent.config;

/**
 * Messages on the agent's broker, as a wireless gateway publishes them; each message is one frame.
 *
 * @param topic the topic, or a filter with wildcards
 */
public record MqttInLink(String topic) implements PortConfig.Link {}
