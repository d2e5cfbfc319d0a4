/**
 * What the agent tells of itself: metrics under names that stand in one file, health over HTTP, and
 * a log that says a repeated fault once and then counts it.
 *
 * <p>Nothing here changes a verdict or a permit. Prometheus is slow (scrape and {@code for}): it
 * informs, it never holds.
 */
@NullMarked
package org.borewarden.agent.observe;

import org.jspecify.annotations.NullMarked;
