/** From a frame to a reading, or to a refusal that says why and at which byte. */
@NullMarked
package org.borewarden.agent.decode;

import org.jspecify.annotations.NullMarked;
