/** The life cycle of a hold and of an alert: states, inputs and effects as a reviewed table. */
@NullMarked
package org.borewarden.rules.hold;

import org.jspecify.annotations.NullMarked;
