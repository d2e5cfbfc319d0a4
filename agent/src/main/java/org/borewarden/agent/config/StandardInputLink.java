package org.borewarden.agent.config;

/** What is piped into the agent. */
public record StandardInputLink() implements PortConfig.Link {}
