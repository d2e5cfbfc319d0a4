/** The truth of a gauge: ring checks, belief, suspect windows, attribution, ring recall. */
@NullMarked
package org.borewarden.rules.gauge;

import org.jspecify.annotations.NullMarked;
