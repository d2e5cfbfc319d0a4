/** The agent as a whole. */
@NullMarked
package org.borewarden.agent;

import org.jspecify.annotations.NullMarked;
