/** Wall time for stamps and monotonic time for durations, two types that are never mixed. */
@NullMarked
package org.borewarden.agent.clock;

import org.jspecify.annotations.NullMarked;
