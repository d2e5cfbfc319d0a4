/** One accepted value from a gauge, and what the cell said of the part in front of it. */
@NullMarked
package org.borewarden.rules.reading;

import org.jspecify.annotations.NullMarked;
