package org.borewarden.agent.config;

import java.time.Duration;

/**
 * A gauge that says nothing unless it is asked.
 *
 * @param send the request, one byte a character
 * @param every the time from one request to the next, at least 100 ms
 */
public record Asking(String send, Duration every) {}
