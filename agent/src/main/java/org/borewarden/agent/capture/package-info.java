/** From the samples of a gauge that never stops to readings: pure, bounded, one gauge each. */
@NullMarked
package org.borewarden.agent.capture;

import org.jspecify.annotations.NullMarked;
