/** From readings to a bore: one measured hole. */
@NullMarked
package org.borewarden.rules.bore;

import org.jspecify.annotations.NullMarked;
