/** Cutting a stream of bytes into frames: bounded, resynchronising, counting junk. */
@NullMarked
package org.borewarden.agent.frame;

import org.jspecify.annotations.NullMarked;
