package org.borewarden.agent.mqtt;

import java.util.OptionalLong;

/**
 * What the broker says of itself when it takes us.
 *
 * @param receiveMaximum the publishes that it takes before it has acknowledged one
 * @param longestPacket the longest packet that it takes
 */
record Greeting(int receiveMaximum, OptionalLong longestPacket) {}
