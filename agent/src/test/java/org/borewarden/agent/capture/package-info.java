/** Tests of the capture of streams. */
@NullMarked
package org.borewarden.agent.capture;

import org.jspecify.annotations.NullMarked;
