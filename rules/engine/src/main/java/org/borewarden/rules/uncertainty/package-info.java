/** How well a size is known: components, their combination, and temperature. */
@NullMarked
package org.borewarden.rules.uncertainty;

import org.jspecify.annotations.NullMarked;
