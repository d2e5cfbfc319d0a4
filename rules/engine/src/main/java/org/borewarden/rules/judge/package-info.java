/** A bore against its limits: the verdict and how sure it is. */
@NullMarked
package org.borewarden.rules.judge;

import org.jspecify.annotations.NullMarked;
