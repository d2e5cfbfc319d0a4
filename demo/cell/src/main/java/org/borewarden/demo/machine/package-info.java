/** A simulated machine and its gauges: an insert that wears and ports that send values. */
@NullMarked
package org.borewarden.demo.machine;

import org.jspecify.annotations.NullMarked;
