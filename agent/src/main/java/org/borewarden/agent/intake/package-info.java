/** The door of the loop as adapters see it: events go in, nothing comes back. */
@NullMarked
package org.borewarden.agent.intake;

import org.jspecify.annotations.NullMarked;
